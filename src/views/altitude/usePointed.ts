import { useActions, useLugline } from '../../store/index.ts';
import type { Pointed } from './model/pointed.ts';

/** What every chart, the table and the map point at together. It stays where it was last put: a leaving pointer takes nothing away. */
export function usePointed(): [Pointed, (pointed: Partial<Pointed>) => void] {
  const engineSpeedRpm = useLugline((state) => state.ui.pointerEngineSpeedRpm);
  const altitudeM = useLugline((state) => state.ui.pointerAltitudeM);
  const { setUi } = useActions();
  const point = (pointed: Partial<Pointed>) =>
    setUi({
      ...(pointed.engineSpeedRpm !== undefined && { pointerEngineSpeedRpm: pointed.engineSpeedRpm }),
      ...(pointed.altitudeM !== undefined && { pointerAltitudeM: pointed.altitudeM }),
    });
  return [{ engineSpeedRpm, altitudeM }, point];
}
