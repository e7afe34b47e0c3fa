import { type BuildPath, type BuildValue, setBuildField } from '../../build/index.ts';
import { useApply, useBuildField } from '../../store/index.ts';
import { SelectField } from '../../widgets/index.ts';

type ChoicePath = { [P in BuildPath]: BuildValue<P> extends string | number ? P : never }[BuildPath];

/** One of several for a field of the open build. */
export function BoundChoice<P extends ChoicePath>({
  label,
  path,
  options,
  stacked,
}: {
  label: string;
  path: P;
  options: readonly { key: BuildValue<P>; name: string }[];
  /** Label above, for names that are too long beside it. */
  stacked?: boolean;
}) {
  const value = useBuildField(path);
  const apply = useApply();
  return (
    <SelectField
      label={label}
      stacked={stacked}
      value={String(value)}
      options={options.map(({ key, name }) => ({ key: String(key), name }))}
      onChange={(chosen) => {
        const option = options.find(({ key }) => String(key) === chosen);
        if (option) apply(setBuildField(path, option.key));
      }}
    />
  );
}
