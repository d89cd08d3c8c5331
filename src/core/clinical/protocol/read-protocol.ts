import type { Result } from '../../basics/result.ts'
import { readDocument } from './document-issues.ts'
import { type Protocol, protocolDocument } from './protocol.ts'

/**
 * A protocol from parsed JSON, or every issue in it (code SETTINGS_REFUSED), each at its path: `sittings[1].to`.
 * That its threshold sets exist is for whoever has all documents to check.
 */
export function readProtocol(json: unknown): Result<Protocol> {
  return readDocument(protocolDocument, json, 'the protocol file')
}
