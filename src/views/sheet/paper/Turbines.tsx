import type { TurbineBlock } from '../model/turbineSheet.ts';
import styles from './paper.module.css';

/** What the exhaust drives: what each line comes to, and where its turbine's numbers come from. */
export function Turbines({ blocks }: { blocks: readonly TurbineBlock[] }) {
  return (
    <section>
      <h2>
        Turbine <small>steady flow; p3 before the turbine, p_m in the manifold</small>
      </h2>
      <div className={styles.turbines} data-count={blocks.length}>
        {blocks.map(({ letter, results, basis }) => (
          <p key={letter}>
            {blocks.length > 1 && <b>{letter} </b>}
            {results.length > 0 && <b>{sentence(results)} </b>}
            {basis}
          </p>
        ))}
      </div>
    </section>
  );
}

function sentence(parts: readonly string[]): string {
  const text = parts.join('; ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
