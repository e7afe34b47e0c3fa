import { useState } from 'react';
import { renameBuild } from '../build/index.ts';
import { selectActiveBuild, useApply, useLugline } from '../store/index.ts';
import { Button, Dialog, TextLine } from '../widgets/index.ts';

/** Another name for the open build. */
export function RenameDialog({ onClose }: { onClose: () => void }) {
  const build = useLugline(selectActiveBuild);
  const apply = useApply();
  const [name, setName] = useState(build.name);
  const isEmpty = name.trim() === '';
  const rename = () => {
    if (isEmpty) return;
    apply(renameBuild(build.id, name));
    onClose();
  };
  return (
    <Dialog
      title="Rename this build"
      onClose={onClose}
      actions={
        <>
          <Button onPress={onClose}>Cancel</Button>
          <Button variant="primary" isDisabled={isEmpty} onPress={rename}>
            Rename
          </Button>
        </>
      }
    >
      <form
        onSubmit={(event) => {
          event.preventDefault();
          rename();
        }}
      >
        <TextLine
          label="Name"
          value={name}
          stacked
          autoFocus
          error={isEmpty ? 'A build needs a name.' : null}
          onChange={(text) => setName(text)}
        />
      </form>
    </Dialog>
  );
}
