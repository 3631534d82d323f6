import { existsSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { ServiceOptions } from './services.ts';

type Env = Readonly<Record<string, string | undefined>>;

/** Where the list of recent files is kept, by the habit of each system; BATHTIDE_CONFIG overrides. */
export function configDir(env: Env = process.env, platform = process.platform, home = os.homedir()): string {
  if (env.BATHTIDE_CONFIG) return env.BATHTIDE_CONFIG;
  if (platform === 'win32')
    return path.join(env.APPDATA ?? path.join(home, 'AppData', 'Roaming'), 'Bathtide');
  if (platform === 'darwin') return path.join(home, 'Library', 'Application Support', 'Bathtide');
  return path.join(env.XDG_CONFIG_HOME ?? path.join(home, '.config'), 'bathtide');
}

/** The user's folder for scenarios and exports; BATHTIDE_FOLDER overrides. Made at the first save. */
export function documentsDir(env: Env = process.env, home = os.homedir()): string {
  if (env.BATHTIDE_FOLDER) return env.BATHTIDE_FOLDER;
  const documents = path.join(home, 'Documents');
  return path.join(existsSync(documents) ? documents : home, 'Bathtide');
}

export interface Launch {
  /** Folder of the project or of the packed app: scenarios/ and dist/ lie in it. */
  readonly root: string;
  /** Scenario the user named, or null for the demo. */
  readonly file: string | null;
  /** Further folders the user named. */
  readonly folders: readonly string[];
}

/** Where this start reads and writes. */
export function placesOf({ root, file, folders }: Launch): ServiceOptions {
  const examples = path.join(root, 'scenarios');
  return {
    examples,
    folders: [documentsDir(), ...folders],
    configDir: configDir(),
    launch: { file: file ?? path.join(examples, 'surge-week.json'), named: file !== null },
  };
}
