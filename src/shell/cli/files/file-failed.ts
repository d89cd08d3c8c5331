import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { GatewayError } from '../../../core/basics/gateway-error.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { systemCodeOf, whyFileFailed } from '../../why-file-failed.ts'

/** A file named on the command line could not be read or written; says which, why and what to do. */
export class FileFailed extends GatewayError {
  override readonly code: ErrorCode
  override readonly retryable = false

  /** @param act what was tried: `read`, `write`. @param cause what the system threw. */
  constructor(act: 'read' | 'write', path: string, cause: unknown) {
    const code = systemCodeOf(cause)
    super(visibleText(`cannot ${act} ${path}: ${whyFileFailed(code, act, path)}`), { cause })
    this.code = code === 'ENOENT' ? 'NOT_FOUND' : 'FILE_FAILED'
  }
}
