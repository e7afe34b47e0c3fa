export function CounterMode() {
  return null;
}
