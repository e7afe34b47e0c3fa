/** Dash patterns in pixels. Each stands for one meaning on every drawing. */
export const DASH = {
  extended: '1.5 3.5',
  choke: '5 3',
  rated: '14 4 2.5 4',
  candidateB: '9 4',
  dashed: '12 3 2 3 2 3',
} as const;
