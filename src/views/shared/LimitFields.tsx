import { BoundQuantity } from './BoundQuantity.tsx';

/** Limits and reserves: the same fields wherever they are edited. An empty field is no limit. */
export function LimitFields() {
  return (
    <>
      <BoundQuantity label="Shaft speed reserve" path="limits.shaftSpeedReserve" />
      <BoundQuantity label="Least surge margin" path="limits.surgeMargin" />
      <BoundQuantity label="Least choke margin" path="limits.chokeMargin" />
      <BoundQuantity label="Compressor outlet temp." path="limits.compressorOutletTemperature" />
      <BoundQuantity label="Manifold pressure, absolute" path="limits.manifoldPressure" />
      <BoundQuantity label="Power at the crankshaft" path="limits.brakePower" />
      <BoundQuantity
        label="Back-pressure ratio"
        path="limits.backPressureRatio"
        help="p3/p_m: pressure ahead of the turbine over that in the manifold. Held where the turbine is known, like the next."
      />
      <BoundQuantity label="Turbine inlet temp." path="limits.turbineInletTemperature" />
    </>
  );
}
