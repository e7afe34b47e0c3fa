import type { MapSource } from '../model/mapSources.ts';
import styles from './paper.module.css';

/** Where each map comes from, with the hash of its data; and the shop's own remarks. */
export function Sources({ sources, notes }: { sources: readonly MapSource[]; notes: string }) {
  return (
    <div className={styles.halves} data-single={notes === '' || undefined}>
      <section>
        <h2>Maps and turbine sheets</h2>
        <ul className={styles.sources} data-many={(sources.length > 2 && notes === '') || undefined}>
          {sources.map(({ letter, name, hash, words }) => (
            <li key={`${letter} ${name}`}>
              <b>
                {letter} {name}
              </b>
              , data <code>{hash ?? 'not complete'}</code>. {words}
            </li>
          ))}
          {sources.length === 0 && <li>No map is chosen.</li>}
        </ul>
      </section>
      {notes !== '' && (
        <section>
          <h2>Remarks</h2>
          <p className={styles.ownWords}>{notes}</p>
        </section>
      )}
    </div>
  );
}
