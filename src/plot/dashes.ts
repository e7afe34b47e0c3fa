/** Dash patterns in pixels. Each stands for one meaning on every drawing. */
export const DASH = {
  extended: '1.5 3.5',
  choke: '5 3',
  rated: '14 4 2.5 4',
  candidateB: '9 4',
  dashed: '12 3 2 3 2 3',
} as const;

/** Widths of a turbine-limited part, outside and inside: two lines of 1.4 with as much paper between them as shows on any printer. */
export const HOLLOW = 5.4;
export const HOLLOW_CORE = 2.6;
