import { setBuildField } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { TextLine } from '../../../widgets/index.ts';

type Field = 'shopName' | 'car' | 'customerReference' | 'dateText' | 'preparedBy' | 'remarks';

/** Longer texts would push the numbers off the sheet. */
const MOST_SIGNS = { line: 80, box: 800 };

/** One text of the head of the sheet. */
export function SheetLine({ label, field, rows }: { label: string; field: Field; rows?: number }) {
  const value = useBuildField(`sheet.${field}`);
  const apply = useApply();
  return (
    <TextLine
      label={label}
      value={value}
      rows={rows}
      stacked
      maxLength={rows === undefined ? MOST_SIGNS.line : MOST_SIGNS.box}
      onChange={(text) => apply(setBuildField(`sheet.${field}`, text))}
    />
  );
}
