import { type BuildPath, type BuildValue, setBuildField } from '../../build/index.ts';
import { useApply, useBuildField } from '../../store/index.ts';
import { SwitchField } from '../../widgets/index.ts';

type SwitchPath = { [P in BuildPath]: BuildValue<P> extends boolean ? P : never }[BuildPath];

/** On or off for a field of the open build. */
export function BoundSwitch({ label, path }: { label: string; path: SwitchPath }) {
  const value = useBuildField(path);
  const apply = useApply();
  return <SwitchField label={label} value={value} onChange={(on) => apply(setBuildField(path, on))} />;
}
