import { useState } from 'react';
import { engineKinds, type FieldRule, type FirstAnswers, fieldAt, startBuild, usualAnswers } from '../build/index.ts';
import { createId, useActions, useApply, useLugline } from '../store/index.ts';
import { systemOfLanguage } from '../units/index.ts';
import { ChoiceRow, FormDialog, QuantityField, SelectField, TextLine } from '../widgets/index.ts';

const SYSTEMS = [
  { key: 'metric', name: 'Metric' },
  { key: 'us', name: 'US' },
] as const;

/** Five questions, each answered already as is usual: a new build starts with curves of its kind of engine instead of another car's. */
export function NewBuildDialog({ onClose }: { onClose: () => void }) {
  const chosen = useLugline(({ workspace }) => workspace.settings.system);
  const apply = useApply();
  const { setUi } = useActions();
  const [answers, setAnswers] = useState(() => usualAnswers(chosen ?? systemOfLanguage(navigator.language)));
  const { system, kind } = answers;
  const set = (changed: Partial<FirstAnswers>) => setAnswers((old) => ({ ...old, ...changed }));
  const start = () => {
    apply(startBuild(createId(), answers));
    setUi({ view: 'match' });
    onClose();
  };
  const quantity = (key: 'displacement' | 'highestEngineSpeed' | 'boost', label: string, field: FieldRule) => (
    <QuantityField
      label={label}
      quantity={field.quantity}
      min={field.low}
      max={field.high}
      value={answers[key]}
      onChange={(next) => set({ [key]: next })}
    />
  );
  return (
    <FormDialog title="New build" verb="Start" className="column gap-m" onDone={start} onClose={onClose}>
      <ChoiceRow
        label="Units"
        value={system}
        options={SYSTEMS}
        onChange={(key) => setAnswers({ ...usualAnswers(key, kind), name: answers.name })}
      />
      <TextLine label="Name of the build" value={answers.name} autoFocus onChange={(name) => set({ name })} />
      <SelectField
        label="Kind of engine"
        stacked
        value={kind}
        options={engineKinds(system).map(({ key, name }) => ({ key, name }))}
        onChange={(key) => {
          const { highestEngineSpeed, boost } = usualAnswers(system, key);
          set({ kind: key, highestEngineSpeed, boost });
        }}
        help="Volumetric efficiency, lambda, consumption and compression ratio start as is usual for it: common practice, no source. Put the car’s own in their place."
      />
      {quantity('displacement', 'Displacement', fieldAt('engine.displacement'))}
      {quantity('highestEngineSpeed', 'Highest engine speed', fieldAt('engineSpeeds.to'))}
      {quantity('boost', 'Boost goal, gauge', fieldAt('goal.curves.gauge-boost'))}
    </FormDialog>
  );
}
