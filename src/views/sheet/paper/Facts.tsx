import type { FactGroup } from '../model/inputFacts.ts';
import styles from './paper.module.css';

/** What was entered, in three columns, as it was typed. */
export function Facts({ groups }: { groups: readonly FactGroup[] }) {
  return (
    <div className={styles.facts}>
      {groups.map(({ title, facts }) => (
        <section key={title}>
          <h2>{title}</h2>
          <dl>
            {facts.map((fact) => (
              <div key={fact.title}>
                <dt>{fact.title}</dt>
                <dd>{fact.value}</dd>
              </div>
            ))}
          </dl>
        </section>
      ))}
    </div>
  );
}
