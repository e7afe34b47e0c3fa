/** An id that no other build, map or candidate has, on this machine or another: 80 random bits. */
export function createId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(10));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
