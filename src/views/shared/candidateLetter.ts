/** 'A' for the first candidate, 'B' for the second, and so on; it stands for the candidate in headings, legends and files. */
export function candidateLetter(index: number): string {
  return String.fromCharCode(65 + index);
}
