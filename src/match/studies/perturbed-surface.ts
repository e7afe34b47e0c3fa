import type { CompressorSurface, FlowAndRatio, SurfaceAt, SurfaceOn } from '../../compressor/types.ts';

/** How a map as it was read differs from the machine: the true flow is the read one times `flow`, and so on. */
export interface MapError {
  flow: number;
  pressureRatio: number;
  /** Added to the efficiency. */
  efficiency: number;
}

/**
 * A map with all its flows and pressure ratios scaled and its efficiency shifted: how a reading error shows, without fitting anew. A
 * scaled pressure ratio at or below 1 is off the map.
 */
export function perturbedSurface(base: CompressorSurface, error: MapError): CompressorSurface {
  const { flow, pressureRatio, efficiency } = error;
  const shifted = (value: number | null) => (value === null ? null : value + efficiency);
  const moved = (place: FlowAndRatio | null): FlowAndRatio | null =>
    place && {
      correctedMassFlowKgPerS: place.correctedMassFlowKgPerS * flow,
      pressureRatio: place.pressureRatio * pressureRatio,
    };
  return {
    reference: base.reference,
    hasEfficiency: base.hasEfficiency,
    lowestLineRpm: base.lowestLineRpm,
    highestLineRpm: base.highestLineRpm,
    lowestAnswerRpm: base.lowestAnswerRpm,
    highestAnswerRpm: base.highestAnswerRpm,
    extent: {
      maxFlowKgPerS: base.extent.maxFlowKgPerS * flow,
      maxPressureRatio: base.extent.maxPressureRatio * pressureRatio,
    },
    limits: base.limits,
    wheel: base.wheel,
    at: (W, PR): SurfaceAt => {
      const answer = base.at(W / flow, PR / pressureRatio);
      // Spelled out: a spread reads it some hundred thousand times.
      return {
        region: answer.region,
        correctedSpeedRpm: answer.correctedSpeedRpm,
        efficiency: shifted(answer.efficiency),
        beta: answer.beta,
        extended: answer.extended,
      };
    },
    on: (rpm, beta): SurfaceOn | null => {
      const answer = base.on(rpm, beta);
      if (answer === null) return null;
      return { ...answer, ...moved(answer), efficiency: shifted(answer.efficiency) };
    },
    surgeAt: (rpm) => moved(base.surgeAt(rpm)),
    chokeAt: (rpm) => moved(base.chokeAt(rpm)),
    surgeFlowAt: (PR) => {
      const least = base.surgeFlowAt(PR / pressureRatio);
      return least === null ? null : least * flow;
    },
  };
}
