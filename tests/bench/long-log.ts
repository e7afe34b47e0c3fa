import type { RoadLog } from '../../src/match/types.ts';
import { demoInput, logOf, makePull, NINE_SECONDS, normal } from '../match/log/made-log.ts';
import { generator } from '../match/random-builds.ts';

const ROWS = 72_000;
const PERIOD = 400;
/** Twelve columns: the time, four channels of the car, and seven that a logger writes beside them. */
const NAMES =
  'Time [s],RPM [rpm],MAP [kPa],Turbo speed [rpm],Charge temperature [K],Throttle [%],Lambda,Fuel flow [g/s],Gate duty [%],Oil [degC],Gear,Speed [km/h]';

/** An hour at 20 Hz: nine-second pulls of the demonstration's car one after the other, with coasting between them; and as a logger writes it. */
export function hourOfPulls(): { log: RoadLog; text: string } {
  const pull = makePull(demoInput(0), { ...NINE_SECONDS, spoolS: 0.3, volumeM3: 12.5e-3 });
  const gauss = normal(generator(1));
  const at = (values: readonly number[], coasting: number, noise: number) =>
    Array.from({ length: ROWS }, (_, i) =>
      i % PERIOD < values.length ? values[i % PERIOD]! * (1 + noise * gauss()) : coasting,
    );
  const n = at(pull.engineSpeed, 2000, 0);
  const p = at(pull.manifoldPressure, 45_000, 0.003);
  const N = at(pull.shaftSpeed, 40_000, 0.0015);
  const T = at(pull.chargeTemperature, 310, 0.003);
  const cells = (i: number) =>
    `${(i / 20).toFixed(2)},${n[i]!.toFixed(1)},${(p[i]! / 1000).toFixed(2)},${N[i]!.toFixed(0)},${T[i]!.toFixed(2)},${n[i] === 2000 ? 10 : 100},0.85,${(12 + (i % 7)).toFixed(2)},55.5,92.1,3,${(80 + (i % 50)).toFixed(1)}`;
  return {
    log: logOf(
      { engineSpeed: n, manifoldPressure: p, shaftSpeed: N, chargeTemperature: T },
      Array.from({ length: ROWS }, (_, i) => i / 20),
    ),
    text: `${NAMES}\n${Array.from({ length: ROWS }, (_, i) => cells(i)).join('\n')}\n`,
  };
}
