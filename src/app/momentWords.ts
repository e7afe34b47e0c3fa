/** A moment as a person says it: the time today, else the day with the time. In the browser's own language settings and time zone. */
export function momentWords(time: number, now: number): string {
  const then = new Date(time);
  const clock = then.toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' });
  const sameDay = then.toDateString() === new Date(now).toDateString();
  return sameDay
    ? clock
    : `${then.toLocaleDateString(undefined, { day: 'numeric', month: 'short', year: 'numeric' })} ${clock}`;
}
