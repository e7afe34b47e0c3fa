import { setBuildField } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { TextLine } from '../../../widgets/index.ts';
import { notesSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

/** Customer, plate, job number, whatever the shop writes. */
export function NotesGroup() {
  const notes = useBuildField('notes');
  const apply = useApply();
  return (
    <InputGroup title="Notes" summary={notesSummary}>
      <TextLine
        label="Customer, plate, job, remarks"
        value={notes}
        rows={5}
        stacked
        onChange={(text) => apply(setBuildField('notes', text))}
      />
    </InputGroup>
  );
}
