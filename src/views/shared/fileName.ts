/** 'larch-52-points.csv': a name that every file system takes, from whatever the candidate is called. */
export function fileName(name: string, what: string, ending: string): string {
  const plain = name
    .normalize('NFKD')
    .replaceAll(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 60);
  return `${plain === '' ? 'candidate' : plain}-${what}.${ending}`;
}
