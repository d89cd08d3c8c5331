import { existsSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { GatewayError } from '../../../core/basics/gateway-error.ts'

/** A file named on the command line could not be read or written; says which, why and what to do. */
export class FileFailed extends GatewayError {
  override readonly code: ErrorCode
  override readonly retryable = false

  /** @param act what was tried: `read`, `write`. @param cause what the system threw. */
  constructor(act: 'read' | 'write', path: string, cause: unknown) {
    const code = codeOf(cause)
    super(`cannot ${act} ${path}: ${whyBy(code, act, path)}`, { cause })
    this.code = code === 'ENOENT' ? 'NOT_FOUND' : 'FILE_FAILED'
  }
}

function whyBy(code: string | undefined, act: 'read' | 'write', path: string): string {
  switch (code) {
    case 'ENOENT':
      return whatIsMissing(act, path)
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

function codeOf(cause: unknown): string | undefined {
  return cause instanceof Error && 'code' in cause && typeof cause.code === 'string' ? cause.code : undefined
}
