import { existsSync } from 'node:fs'
import { dirname, resolve } from 'node:path'

/** Why a file could not be read or written, and what to do, as a clause and a sentence, by the code the system gave. */
export function whyFileFailed(code: string | undefined, act: 'read' | 'write', path: string): string {
  switch (code) {
    case 'ENOENT':
      return whatIsMissing(act, path)
    case 'EEXIST':
      return 'there is a file already. Name a new one.'
    case 'EISDIR':
      return 'it is a folder. Name a file in it.'
    case 'ENOTDIR':
      return `${dirname(path)} is not a folder. Check the path.`
    case 'EACCES':
    case 'EPERM':
      return `this user may not ${act} it. Change its rights, or run as a user who may.`
    case 'EROFS':
      return 'its disk is mounted read-only. Name a file on another one.'
    case 'ENOSPC':
    case 'EDQUOT':
      return 'no space is left on its disk. Make room, or name a file on another one.'
    case 'EMFILE':
    case 'ENFILE':
      return 'too many files are open. End other programs, or raise the limit.'
    default:
      return `the system says ${code ?? 'no more'}. Check the path and its disk.`
  }
}

function whatIsMissing(act: 'read' | 'write', path: string): string {
  const folder = dirname(resolve(path))
  if (!existsSync(folder))
    return `there is no folder ${folder}. Check the path${act === 'write' ? ', or make the folder' : ''}.`
  return 'there is no such file. Check the path.'
}

/** The code that the system gave with what it threw. */
export function systemCodeOf(cause: unknown): string | undefined {
  return cause instanceof Error && 'code' in cause && typeof cause.code === 'string' ? cause.code : undefined
}
