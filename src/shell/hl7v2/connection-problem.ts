import type { ErrorCode } from '../../core/basics/error-codes.ts'

/**
 * Why a connection failed, or was never made: because one side did not believe the other's certificate, or for any
 * other reason. Codes are those of Node's `tls` and of OpenSSL.
 */
export function connectionProblem(thrown: unknown): ErrorCode {
  const code = thrown instanceof Error && 'code' in thrown ? String(thrown.code) : ''
  return /CERT|^ERR_SSL_|^ERR_TLS_|^ERR_OSSL_|^UNABLE_TO_|^EPROTO$/.test(code)
    ? 'CLINIC_NOT_TRUSTED'
    : 'CLINIC_UNREACHABLE'
}
