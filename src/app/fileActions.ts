/** What can be done with files; persistence does it, header and drop target ask for it. */
export interface FileActions {
  /** Lets the person choose files and takes them in. */
  open: () => void;
  /** Takes in files that were dropped. */
  take: (files: File[]) => void;
  saveBuild: () => void;
  /** Saves one map of the shelf as a file. */
  saveMap: (mapId: string) => void;
  saveBackup: () => void;
  /** Answers to the backup that waits in `ui.pendingRestore`. */
  confirmRestore: () => void;
  cancelRestore: () => void;
  /** Saves a stored record that could not be read, as it stands; counted as in the notice about it. */
  saveUnreadable: (index: number) => void;
  /** Chooses a backup file that is written again after every change; null where the browser cannot. */
  keepFile: (() => void) | null;
  /** Asks the browser for leave to write the kept file again. */
  allowKeptFile: () => void;
  forgetKeptFile: () => void;
}
