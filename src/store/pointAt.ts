import { type MatchInput, type OperatingPoint, solveOperatingLine } from '../match/index.ts';

/** The operating point of any one engine speed, also between those of the line. @param engineSpeedRpm above 0 */
export function pointAt(input: MatchInput, engineSpeedRpm: number): OperatingPoint | null {
  return solveOperatingLine({ ...input, engineSpeedsRpm: [engineSpeedRpm] })[0] ?? null;
}
