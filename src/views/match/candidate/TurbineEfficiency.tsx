import type { Candidate, CardPath } from '../../../build/index.ts';
import { CardChoice } from './CardChoice.tsx';
import { CardField } from './CardField.tsx';
import { CardSwitch } from './CardSwitch.tsx';
import type { TurbineNotes } from './model/turbineNotes.ts';

/** What the turbine makes of the exhaust's energy, and what its bearing takes of that. */
export function TurbineEfficiency({ candidate, notes }: { candidate: Candidate; notes: TurbineNotes }) {
  const { source, efficiency, includesBearing } = candidate.turbine;
  const kinds = [
    // An estimate has no points to read an efficiency off.
    { key: 'sheet', name: 'From the sheet', isDisabled: source !== 'sheet' },
    { key: 'number', name: 'A number' },
    { key: 'speed-ratio', name: 'Parabola over U/C0' },
  ] as const;
  const field = (path: 'value' | 'best' | 'optimum', label: string, help?: string) => (
    <CardField
      candidate={candidate}
      path={`turbine.efficiency.${path}`}
      label={label}
      placeholder="needed"
      help={help}
      warning={notes.of(`turbine.efficiency.${path}`)}
    />
  );
  return (
    <>
      <CardChoice
        stacked
        candidate={candidate}
        path="turbine.efficiency.kind"
        label="Turbine efficiency"
        options={kinds}
        warning={notes.of('turbine.efficiency.kind')}
      />
      {efficiency.kind === 'number' && field('value', 'Efficiency', 'Isentropic, total to static.')}
      {efficiency.kind === 'speed-ratio' && (
        <>
          {field('best', 'Best efficiency', 'Isentropic, total to static.')}
          {field(
            'optimum',
            '… at U/C0 of',
            'Tip speed of the turbine inducer over the speed that the exhaust would reach by expanding alone. Radial turbines: 0.65 to 0.70.',
          )}
        </>
      )}
      <CardSwitch
        candidate={candidate}
        path="turbine.includesBearing"
        label="Efficiency holds the bearing's losses"
        help="Sheets from a gas stand often give it so: the losses must not count twice."
      />
      {!includesBearing && (
        <CardField
          candidate={candidate}
          path="turbine.mechanicalEfficiency"
          label="Mechanical efficiency"
          placeholder="needed"
          help="Share of the turbine's power that the bearing leaves for the compressor."
          warning={notes.of('turbine.mechanicalEfficiency')}
        />
      )}
    </>
  );
}

/** Fields beside which a note of theirs is shown, as they stand for this candidate. */
export function shownTurbineFields({ turbine }: Candidate): CardPath[] {
  const { source, efficiency, includesBearing } = turbine;
  if (source === 'none') return [];
  const shown: CardPath[] = ['turbine.efficiency.kind'];
  if (efficiency.kind === 'number') shown.push('turbine.efficiency.value');
  if (efficiency.kind === 'speed-ratio') shown.push('turbine.efficiency.best', 'turbine.efficiency.optimum');
  if (!includesBearing) shown.push('turbine.mechanicalEfficiency');
  return shown;
}
