import type { AuditFinding, SheetPlace } from '../../../../compressor/index.ts';
import { Icon } from '../../../../widgets/index.ts';
import mapStyles from '../../maps.module.css';

const ICON = { error: 'stop', warning: 'caution', note: 'note' } as const;

export interface CheckEntryProps {
  finding: AuditFinding;
  place: SheetPlace | undefined;
  onShow: (place: SheetPlace) => void;
  children?: React.ReactNode;
}

/** A finding of the audit that leads to its place on the picture, with what can be done about it. */
export function CheckEntry({ finding, place, onShow, children }: CheckEntryProps) {
  const said = (
    <>
      <span className={mapStyles[finding.severity]}>
        <Icon name={ICON[finding.severity]} />
        <span className={mapStyles.hidden}>{finding.severity}: </span>
      </span>
      <span>{finding.message}</span>
    </>
  );
  return (
    <li>
      {place === undefined ? (
        <div className={mapStyles.finding}>{said}</div>
      ) : (
        <button type="button" className={mapStyles.finding} onClick={() => onShow(place)}>
          {said}
        </button>
      )}
      {children}
    </li>
  );
}
