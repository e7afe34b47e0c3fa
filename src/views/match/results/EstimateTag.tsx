import styles from './estimateTag.module.css';

/** Stands wherever a candidate is computed on another wheel's map. */
export function EstimateTag() {
  return <span className={styles.tag}>estimate</span>;
}
