/** A copy of a JSON value with one place changed ('speedLines[1].points[2].flow'); undefined takes the property away. */
export function changedAt(json: unknown, path: string, value: unknown): unknown {
  const copy: unknown = JSON.parse(JSON.stringify(json));
  const keys = path.split(/[.[\]]+/).filter((key) => key !== '');
  const last = keys.pop();
  let group = copy as Record<string, unknown>;
  for (const key of keys) group = group[key] as Record<string, unknown>;
  if (last === undefined) return value;
  if (value === undefined) delete group[last];
  else group[last] = value;
  return copy;
}
