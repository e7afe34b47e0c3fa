import { addTurbineSheet, assignTurbineSheet, type Candidate, isTurbineSheet } from '../../../build/index.ts';
import { createId, useActions, useApply, useShelf } from '../../../store/index.ts';
import { Button, SelectField } from '../../../widgets/index.ts';
import styles from './card.module.css';

const NO_SHEET = '';

/** Which sheet of the shelf is this turbine's, and the way to its tables. */
export function TurbineSheetChoice({ candidate }: { candidate: Candidate }) {
  const apply = useApply();
  const { setUi } = useActions();
  const sheets = useShelf().filter(isTurbineSheet);
  const { turbineSheet } = candidate;
  // A sheet that was taken off the shelf stays with the candidate that carries it, and must still be named.
  const isGone = turbineSheet !== null && !sheets.some(({ id }) => id === turbineSheet.id);
  const options = [
    { key: NO_SHEET, name: sheets.length === 0 && !isGone ? 'None on the shelf yet' : 'Not chosen yet' },
    ...[...sheets, ...(isGone ? [turbineSheet] : [])].map(({ id, name }) => ({
      key: id,
      name: name.trim() || 'Sheet without a name',
    })),
  ];
  const openInMaps = (id: string) => setUi({ view: 'maps', openMapId: id, openCardId: null });
  const addSheet = () => {
    const id = createId();
    // One step of undo: a sheet that is put on this candidate at once.
    apply(addTurbineSheet(id, `Turbine of ${candidate.name.trim() || 'a candidate'}`), `new-turbine-sheet.${id}`);
    apply(assignTurbineSheet(candidate.id, id), `new-turbine-sheet.${id}`);
    openInMaps(id);
  };
  return (
    <>
      <SelectField
        stacked
        label="Turbine sheet"
        value={turbineSheet?.id ?? NO_SHEET}
        options={options}
        onChange={(id) => apply(assignTurbineSheet(candidate.id, id === NO_SHEET ? null : id))}
      />
      <div className={styles.buttons}>
        {turbineSheet !== null && <Button onPress={() => openInMaps(turbineSheet.id)}>Open in Maps</Button>}
        <Button icon="plus" onPress={addSheet}>
          New turbine sheet
        </Button>
      </div>
    </>
  );
}
