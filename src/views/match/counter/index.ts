export { CounterMode } from './CounterMode.tsx';
