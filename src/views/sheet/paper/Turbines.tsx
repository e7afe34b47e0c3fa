import type { TurbineBlock } from '../model/turbineSheet.ts';
import styles from './paper.module.css';

/** What the exhaust drives: where each turbine's numbers come from, what the line comes to, and its course over engine speed. */
export function Turbines({ blocks }: { blocks: readonly TurbineBlock[] }) {
  return (
    <section>
      <h2>
        Turbine <small>steady flow; p3 before the turbine, p_m in the manifold</small>
      </h2>
      <div className={styles.turbines} data-count={blocks.length}>
        {blocks.map((block) => (
          <div key={block.letter}>
            <p>
              {blocks.length > 1 && <b>{block.letter} </b>}
              {block.results.length > 0 && <b>{sentence(block.results)} </b>}
              {block.basis}
            </p>
            {block.rows.length > 0 && <Course block={block} />}
          </div>
        ))}
      </div>
    </section>
  );
}

function Course({ block: { letter, engineSpeeds, rows } }: { block: TurbineBlock }) {
  return (
    <table className={styles.turbineCourse} aria-label={`Turbine of candidate ${letter} over engine speed`}>
      <thead>
        <tr>
          <th scope="col">Engine, rpm</th>
          {engineSpeeds.map((speed) => (
            <th key={speed} scope="col">
              {speed}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ title, unit, cells }) => (
          <tr key={title}>
            <th scope="row">{unit === '' ? title : `${title}, ${unit}`}</th>
            {cells.map((cell, i) => (
              <td key={engineSpeeds[i]}>{cell}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function sentence(parts: readonly string[]): string {
  const text = parts.join('; ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
