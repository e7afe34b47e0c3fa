/** What can be done with files; persistence does it, header and drop target ask for it. */
export interface FileActions {
  /** Lets the person choose files and takes them in. */
  open: () => void;
  /** Takes in files that were dropped. */
  take: (files: File[]) => void;
  saveBuild: () => void;
  saveBackup: () => void;
  /** Chooses a backup file that is written again after every change; null where the browser cannot. */
  keepFile: (() => void) | null;
  /** Asks the browser for leave to write the kept file again. */
  allowKeptFile: () => void;
  forgetKeptFile: () => void;
}
