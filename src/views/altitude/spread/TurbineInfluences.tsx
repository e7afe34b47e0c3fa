import { useState } from 'react';
import type { Build } from '../../../build/index.ts';
import type { SpreadDone } from '../../../match/index.ts';
import { ToolSelect } from '../../shared/ToolBar.tsx';
import { TURBINE_OUTPUTS, type TurbineOutput } from '../model/influenceBars.ts';
import { InfluenceBars } from './InfluenceBars.tsx';

/** What moves a result of the turbine side most; which one is chosen in its heading. */
export function TurbineInfluences({ build, spread }: { build: Build; spread: SpreadDone }) {
  const [output, setOutput] = useState<TurbineOutput>('backPressureRatio');
  const name = TURBINE_OUTPUTS.find(({ key }) => key === output)?.name ?? '';
  const choice = (
    <ToolSelect
      name="Which result of the turbine is moved"
      value={output}
      options={TURBINE_OUTPUTS.map(({ key, name: of }) => ({ key, name: `What moves ${of} most` }))}
      onChange={setOutput}
    />
  );
  return (
    <InfluenceBars build={build} spread={spread} output={output} title={`What moves ${name} most`} heading={choice} />
  );
}
