import { Dialog } from '../widgets/index.ts';
import { HelpText } from './HelpText.tsx';

export function HelpDialog({ onClose }: { onClose: () => void }) {
  return (
    <Dialog title="Help" size="wide" onClose={onClose}>
      <HelpText />
    </Dialog>
  );
}
