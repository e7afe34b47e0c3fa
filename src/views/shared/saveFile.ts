/** Hands a file to the browser for saving, under a name that it may change. */
export function saveFile(name: string, content: string | Blob, type: string): void {
  const blob = typeof content === 'string' ? new Blob([content], { type: `${type};charset=utf-8` }) : content;
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // Some browsers fetch the file only after the click has returned.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
