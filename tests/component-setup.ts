import { configure } from '@testing-library/react';

// How long a test waits for something to appear. Not a claim about speed: a machine may be slow, and both its cores busy.
configure({ asyncUtilTimeout: 60_000 });
