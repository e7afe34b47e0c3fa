import type { CHANNEL_KEYS } from './channels.ts';

export type LogChannelKey = (typeof CHANNEL_KEYS)[number];
/** Values in SI (engine and shaft speed in rpm, pressures absolute in Pa, temperatures in K, shares 0..1, kg/s, W, m/s); NaN where the cell holds no reading. */
export interface LogChannel {
  readonly key: LogChannelKey;
  readonly unit: string;
  readonly values: Float64Array;
}
/** timeS: seconds from the first row, or null where the log has no time. */
export interface RoadLog {
  readonly channels: readonly LogChannel[];
  readonly timeS: Float64Array | null;
}
