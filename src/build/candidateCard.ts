import type { Typed } from './document.ts';

/**
 * What a person measures and reads on the bench: both wheels, housing and bearing, and what the maker claims. Empty texts: not measured.
 */
export interface CandidateCard {
  wheels: {
    /** Half width of what the calipers may be off, for every length below. */
    caliperUncertainty: Typed;
    compressor: WheelCard;
    turbine: WheelCard;
  };
  housing: {
    /** Area over radius of the volutes as quoted or measured: a length. */
    compressorAreaRadius: Typed;
    turbineAreaRadius: Typed;
    scroll: 'unknown' | 'single' | 'twin';
    bearing: 'unknown' | 'journal' | 'ball';
    gate: 'unknown' | 'internal' | 'external' | 'variable-vanes' | 'none';
  };
  /** What the maker or seller says that this one gives more than the one it is compared with. */
  claim: { kind: 'none' | 'flow' | 'power'; gain: Typed };
  turbine: TurbineCard;
  notes: string;
}

/** How the turbine of a candidate is known. */
export interface TurbineCard {
  /** 'sheet': the candidate's turbine sheet. 'measured': estimated from the turbine wheel and the A/R of its housing. */
  source: 'none' | 'sheet' | 'measured';
  /** Whether the flows of the sheet of a twin scroll are those of both entries together or of one. */
  entries: 'all' | 'one';
  efficiency: {
    /** 'sheet': off its points. 'number': `value` everywhere. 'speed-ratio': a parabola over U/C0 with its peak `best` at `optimum`. */
    kind: 'sheet' | 'number' | 'speed-ratio';
    value: Typed;
    best: Typed;
    optimum: Typed;
  };
  /** The efficiency holds the bearing's losses already, as that of many gas stands does. */
  includesBearing: boolean;
  mechanicalEfficiency: Typed;
}

export interface WheelCard {
  /** Tip diameter at the inlet. The compressor's smaller diameter, the turbine's larger one. */
  inducer: Typed;
  /** Tip diameter at the outlet. The compressor's larger diameter, the turbine's smaller one. */
  exducer: Typed;
  /** Height of the blades at the larger diameter. */
  tipHeight: Typed;
  fullBlades: Typed;
  splitterBlades: Typed;
}

const typed = (text: string, unit: string): Typed => ({ text, unit });

const emptyWheel = (): WheelCard => ({
  inducer: typed('', 'mm'),
  exducer: typed('', 'mm'),
  tipHeight: typed('', 'mm'),
  fullBlades: typed('', '1'),
  splitterBlades: typed('', '1'),
});

/**
 * No turbine data; the figures are common practice, no source: small radial turbines on gas stands peak at 0.65 to 0.75 total to static,
 * near U/C0 0.65 to 0.70, and lose about 5 % of their power in a journal bearing at high speed.
 */
export function emptyTurbineCard(): TurbineCard {
  return {
    source: 'none',
    entries: 'all',
    efficiency: { kind: 'number', value: typed('70', '%'), best: typed('72', '%'), optimum: typed('0.68', '1') },
    includesBearing: false,
    mechanicalEfficiency: typed('95', '%'),
  };
}

/** Nothing measured yet; calipers of the usual kind read to 0.05 mm (common practice, no source). */
export function emptyCard(): CandidateCard {
  return {
    wheels: { caliperUncertainty: typed('0.05', 'mm'), compressor: emptyWheel(), turbine: emptyWheel() },
    housing: {
      compressorAreaRadius: typed('', 'in'),
      turbineAreaRadius: typed('', 'in'),
      scroll: 'unknown',
      bearing: 'unknown',
      gate: 'unknown',
    },
    claim: { kind: 'none', gain: typed('', '%') },
    turbine: emptyTurbineCard(),
    notes: '',
  };
}
