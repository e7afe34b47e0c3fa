import type { MapDraft } from '../../../build/index.ts';
import { ChoiceRow } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { isParameter, setTurbineFlow, turbineFlowOf, turbineFlows } from '../model/turbineFlow.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { EfficiencyChoice } from './EfficiencyChoice.tsx';
import { ReferenceFields } from './ReferenceFields.tsx';

const KINDS = [
  { key: 'corrected', name: 'Corrected flow' },
  { key: 'parameter', name: 'Flow parameter' },
] as const;
const CORRECTED = turbineFlows.filter(({ key }) => !isParameter(key));
const PARAMETERS = turbineFlows.flatMap(({ key }) => (isParameter(key) ? [{ key, name: key }] : []));

/** What the numbers of a turbine sheet mean: its flow, the reference state where the flow has one, its ratio and efficiency. */
export function TurbineMeaning({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const flow = turbineFlowOf(draft);
  const kind = draft.flowParameter === undefined ? 'corrected' : 'parameter';
  const set = (next: Parameters<typeof setTurbineFlow>[1]) =>
    edit((d) => setTurbineFlow(d, next), 'change flow meaning', 'flow-meaning');
  return (
    <>
      <fieldset className={styles.group}>
        <legend>How the sheet gives its numbers</legend>
        <ChoiceRow
          label="Flow is a"
          value={kind}
          options={KINDS}
          onChange={(next) => {
            if (next === 'parameter') set('kPa');
            else set(draft.flowUnit === 'lb/min' ? 'lb/min' : 'kg/s');
          }}
        />
        <ChoiceRow
          label={kind === 'corrected' ? 'Unit' : 'Unit: kg√K/s per'}
          value={flow ?? 'kg/s'}
          options={kind === 'corrected' ? CORRECTED : PARAMETERS}
          onChange={set}
        />
        <p className={styles.help}>
          {kind === 'corrected'
            ? 'Corrected flow: W √(T03/Tref) / (p03/pref), in a unit of mass flow.'
            : 'Flow parameter: W √T03 / p03, with T03 in kelvin; it needs no reference state.'}{' '}
          The numbers stay as typed.
        </p>
        <EfficiencyChoice draft={draft} edit={edit} />
        <p className={styles.help}>
          Expansion ratio is p3/p4: total pressure before the turbine over static pressure behind it, both absolute.
          Efficiency is total to static.
        </p>
      </fieldset>
      {kind === 'corrected' && <ReferenceFields draft={draft} edit={edit} />}
    </>
  );
}
