import styles from './cellGrid.module.css';
import { cx } from './cx.ts';
import type { CellMark } from './gridTypes.ts';
import { Icon } from './Icon.tsx';
import { IconButton } from './IconButton.tsx';

/** One line under a grid: what there is to say about the active cell or the last paste, and the row buttons. Its height does not change. */
export function CellGridFooter(props: {
  messageId: string;
  mark: CellMark | undefined;
  notice: string | null;
  hint: string | undefined;
  deleteCount: number;
  onInsert: (() => void) | undefined;
  onDelete: (() => void) | undefined;
}) {
  const { mark, notice } = props;
  return (
    <div className={styles.footer}>
      <p
        id={props.messageId}
        role="status"
        className={cx(styles.message, !notice && mark && styles[`${mark.severity}Text`])}
      >
        {notice ?? (mark && <Icon name={mark.severity === 'error' ? 'stop' : 'caution'} />)}
        {!notice && (mark?.message ?? props.hint)}
      </p>
      {props.onInsert && <IconButton icon="plus" label="Insert a row above" onPress={props.onInsert} />}
      {props.onDelete && (
        <IconButton
          icon="trash"
          label={props.deleteCount > 1 ? `Delete ${props.deleteCount} rows` : 'Delete the row'}
          isDisabled={props.deleteCount === 0}
          onPress={props.onDelete}
        />
      )}
    </div>
  );
}
