/** How a dynamometer's power was made one of a standard day; 'none': as measured. */
export const POWER_CORRECTIONS = ['none', 'sae-j1349', 'iso-1585'] as const;
export type PowerCorrection = (typeof POWER_CORRECTIONS)[number];

/** What each is called in a list. */
export const POWER_CORRECTION_NAMES: Readonly<Record<PowerCorrection, string>> = {
  none: 'as measured',
  'sae-j1349': 'corrected by SAE J1349',
  'iso-1585': 'corrected by ISO 1585',
};

/** Of the standards' day: dry pressure in Pa and temperature in K. */
const STANDARD = { pressurePa: 99_000, temperatureK: 298 };

/**
 * Corrected power over measured power of an engine with spark ignition: SAE J1349 (June 1990) 1.18 (99/pd) (T/298)^0.5 - 0.18, second-hand from
 * a text that quotes the standard; ISO 1585 and UN Regulation 85 (99/pd)^1.2 (T/298)^0.6, from memory. Both are made for natural aspiration;
 * on a boosted engine they add power that was not there, which is why they are undone before air is worked out of power.
 *
 * @param dryPressurePa of the air without its water vapour, > 0
 * @param temperatureK > 0
 */
export function powerCorrectionFactor(kind: PowerCorrection, dryPressurePa: number, temperatureK: number): number {
  const pressure = STANDARD.pressurePa / dryPressurePa;
  const warmth = temperatureK / STANDARD.temperatureK;
  if (kind === 'none') return 1;
  return kind === 'sae-j1349' ? 1.18 * pressure * Math.sqrt(warmth) - 0.18 : pressure ** 1.2 * warmth ** 0.6;
}
