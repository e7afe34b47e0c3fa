import { useMemo, useState } from 'react';
import type { AuditFinding, SheetPlace } from '../../../compressor/index.ts';
import { Icon } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { countWords, findingList } from '../model/findingList.ts';
import type { Target } from '../useDesk.ts';

const ICON = { error: 'stop', warning: 'caution', note: 'note' } as const;

export interface FindingListProps {
  findings: readonly AuditFinding[];
  onShow: (target: Target) => void;
  /** The finding under the pointer or the keyboard, to be ringed on the plot. */
  onPoint: (place: SheetPlace | null) => void;
}

/** The audit, worst first; each leads to its cell and its place on the plot. */
export function FindingList({ findings, onShow, onPoint }: FindingListProps) {
  const listed = useMemo(() => findingList(findings), [findings]);
  const [open, setOpen] = useState<string | null>(null);
  return (
    <section className={styles.audit} aria-label="Audit of the sheet">
      <h3 className={styles.auditTitle}>
        Audit <span className={styles.auditCount}>{countWords(findings)}</span>
      </h3>
      <ul>
        {listed.map((finding) => {
          const others = open === finding.key ? finding.others : [];
          return [
            <Entry {...entryOf(finding)} key={finding.key} onShow={onShow} onPoint={onPoint} />,
            ...others.map((other) => (
              <Entry {...entryOf(other)} key={`${finding.key} ${other.message}`} onShow={onShow} onPoint={onPoint} />
            )),
            finding.others.length > 0 && (
              <li key={`${finding.key} more`}>
                <button
                  type="button"
                  className={styles.more}
                  aria-expanded={open === finding.key}
                  onClick={() => setOpen(open === finding.key ? null : finding.key)}
                >
                  {open === finding.key ? 'Show fewer' : `${finding.others.length} more like this`}
                </button>
              </li>
            ),
          ];
        })}
      </ul>
    </section>
  );
}

type Said = Pick<AuditFinding, 'severity' | 'message' | 'place' | 'code'>;

function entryOf({ severity, message, place, code }: Said): Said {
  return { severity, message, place, code };
}

interface EntryProps extends Said {
  onShow: FindingListProps['onShow'];
  onPoint: FindingListProps['onPoint'];
}

function Entry({ severity, message, place, code, onShow, onPoint }: EntryProps) {
  const content = (
    <>
      <span className={styles[severity]}>
        <Icon name={ICON[severity]} />
        <span className={styles.hidden}>{severity}: </span>
      </span>
      <span>{message}</span>
    </>
  );
  return (
    <li>
      {place === undefined ? (
        <div className={styles.finding}>{content}</div>
      ) : (
        <button
          type="button"
          className={styles.finding}
          title="Go to its cell"
          onClick={() => onShow({ place, code, message })}
          onMouseEnter={() => onPoint(place)}
          onMouseLeave={() => onPoint(null)}
          onFocus={() => onPoint(place)}
          onBlur={() => onPoint(null)}
        >
          {content}
        </button>
      )}
    </li>
  );
}
