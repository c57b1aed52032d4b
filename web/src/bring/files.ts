// Files out of a drop or a choice: whole folders are walked, and what is no recording for certain is named, not sent.

/** What came of a drop. */
export interface Found {
  files: File[];
  /** Files of a folder that are no recordings by their names. */
  leftOut: File[];
  /** There were more than `MOST`; the rest was not looked at. */
  tooMany: boolean;
}

/** Most files of one drop: a card holds a few hundred flights. */
export const MOST = 500;

/** The largest file that the server takes, bytes. */
export const LARGEST = 512 * 1024 * 1024;

/** Kinds that no recorder writes its rows in; a folder of a card often holds some. */
const NO_RECORDING =
  /^\.|^(?:thumbs\.db|desktop\.ini)$|\.(?:jpe?g|png|gif|heic|webp|svg|mp[34]|m4[av]|mov|avi|mkv|wav|pdf|docx?|xlsx?|pptx?|exe|dll|msi|dmg|app|apk|html?|css|js|md|ini|lnk|url)$/i;

export function isNoRecording(name: string): boolean {
  return NO_RECORDING.test(name);
}

/** Why a file need not be sent at all; null = send it. */
export function refusedAtOnce(file: Pick<File, 'name' | 'size'>): { message: string; hint: string } | null {
  if (file.size === 0) return { message: `${file.name} is empty.`, hint: 'Copy it from the recorder again.' };
  if (file.size > LARGEST)
    return {
      message: `${file.name} is larger than 512 MB.`,
      hint: 'Pack it (gzip or zip), or export the flights one by one.',
    };
  return null;
}

/** Sorts the files of a folder apart; a file that was chosen by itself is always sent. */
export function sorted(files: readonly { file: File; inFolder: boolean }[]): Found {
  const some = files.slice(0, MOST);
  const out = (each: { file: File; inFolder: boolean }) => each.inFolder && isNoRecording(each.file.name);
  return {
    files: some.filter((each) => !out(each)).map((each) => each.file),
    leftOut: some.filter(out).map((each) => each.file),
    tooMany: files.length > MOST,
  };
}

/** The files of an `<input type=file>`, whose folders the browser has walked already. */
export function chosen(list: FileList | readonly File[]): Found {
  return sorted([...list].map((file) => ({ file, inFolder: Boolean(file.webkitRelativePath) })));
}

/** The files of a drop, folders walked. Call within the event: the list is gone afterwards. */
export async function dropped(transfer: DataTransfer): Promise<Found> {
  const items = [...transfer.items].filter((item) => item.kind === 'file');
  const entries = items.map((item) => ({ entry: item.webkitGetAsEntry(), file: item.getAsFile() }));
  const found: { file: File; inFolder: boolean }[] = [];
  for (const { entry, file } of entries) {
    if (entry?.isDirectory) await walk(entry as FileSystemDirectoryEntry, found);
    else if (file !== null) found.push({ file, inFolder: false });
  }
  return sorted(found);
}

async function walk(
  folder: FileSystemDirectoryEntry,
  found: { file: File; inFolder: boolean }[],
): Promise<void> {
  const reader = folder.createReader();
  // A folder is told piece by piece, until a piece is empty.
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((done, failed) => {
      reader.readEntries(done, failed);
    });
    if (some.length === 0) return;
    for (const entry of some) {
      if (found.length > MOST) return;
      if (entry.isDirectory) await walk(entry as FileSystemDirectoryEntry, found);
      else found.push({ file: await fileOf(entry as FileSystemFileEntry), inFolder: true });
    }
  }
}

function fileOf(entry: FileSystemFileEntry): Promise<File> {
  return new Promise((done, failed) => {
    entry.file(done, failed);
  });
}
