import { afterAll } from 'vitest';
import { closeContexts } from './harness.ts';

afterAll(closeContexts);
