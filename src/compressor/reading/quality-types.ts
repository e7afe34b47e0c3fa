import type { AuditFinding, MapSheet, SheetPlace } from '../types.ts';

/** One line of the card: what is asked, what the sheet has, and who asks. */
export interface Requirement {
  code: 'speed-lines' | 'points-per-line';
  /** null: not known, and said so. */
  atLeast: number | null;
  /** speed-lines: number of lines; points-per-line: fewest points on any line. */
  has: number;
  met: boolean | null;
  /** Where the figure is from, in plain words. */
  source: string;
}

/** Reading noise of one speed line. */
export interface LineNoise {
  /** Index in sheet.speedLines. */
  line: number;
  speedRpm: number;
  points: number;
  /** Standard deviation of a point off a smooth line, as a share of speed; null with fewer than five usable points. */
  speedShare: number | null;
  /** The same as a share of full scale (largest flow, largest pressure ratio), were both read equally well in that measure. */
  fullScaleShare: number | null;
}

export interface LeftOutLine {
  line: number;
  speedRpm: number;
  /** Median and largest error of the fitted surface at this line's points with the line left out; shares of speed. */
  speedMedian: number;
  speedLargest: number;
  /** Of 1 (0.01 is one point); null where the line has no efficiencies. */
  efficiencyMedian: number | null;
  efficiencyLargest: number | null;
  /** Points at which the surface without the line gave no answer. */
  unanswered: number;
}

export interface SuspiciousPoint {
  place: SheetPlace & { part: 'speed-line'; point: number };
  /** The finding of the audit that names it. */
  finding: AuditFinding;
  /** Where the rest of its line puts it: sheet units. null where no smooth line can be drawn without it. */
  expected: { flow: number; pressureRatio: number } | null;
  /** Which of the two is off (the smooth line is flat: pressure ratio; steep: flow), signed, entered minus expected, in sheet units. */
  off: { of: 'flow' | 'pressureRatio'; by: number } | null;
  message: string;
}

export interface QualityCard {
  lines: number;
  points: number;
  pointsWithEfficiency: number;
  islands: number;
  requirements: readonly Requirement[];
  noise: {
    lines: readonly LineNoise[];
    /** Over all lines, as LineNoise; null where no line can be judged. */
    speedShare: number | null;
    fullScaleShare: number | null;
  };
  leftOut: {
    lines: readonly LeftOutLine[];
    /** Over all points of all inner lines; null with fewer than four lines or no fit. */
    speedMedian: number | null;
    speed95: number | null;
    efficiencyMedian: number | null;
    efficiency95: number | null;
  };
  suspicious: readonly SuspiciousPoint[];
  /** mapHash of the sheet that was judged. */
  hash: string;
}

/** How far the judging has come: `done` of `total` refits. */
export interface QualityProgress {
  done: number;
  total: number;
}

/** A repair that is offered for a finding. Applying it is pure: a new sheet. */
export interface ProposedRepair {
  /** Plain words, imperative: 'Divide the efficiencies by 100'. */
  description: string;
  apply(sheet: MapSheet): MapSheet;
}
