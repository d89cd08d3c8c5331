import type { DecodedRecord, RefusedPart } from '../../core/basics/decoded-record.ts'
import { ok, type Result } from '../../core/basics/result.ts'
import type { SourceRecord } from '../../core/basics/source-record.ts'
import { decodeIndication } from '../../core/bluetooth/decode-indication.ts'
import { decodeResources } from '../../core/fhir-intake/decode-resources.ts'
import { decodeOruMessage } from '../../core/hl7v2/decode-oru-message.ts'
import type { MappingInput } from '../../core/mapping/mapping-document.ts'

type Decode = (record: SourceRecord) => Result<readonly (DecodedRecord | RefusedPart)[]>

/**
 * What makes of a record in its own format the trees that a mapping reads: one, or one for each part of it, where a part
 * that cannot be read is refused alone. A record that cannot be read as a whole is refused.
 */
export const DECODERS: Readonly<Record<MappingInput['format'], Decode>> = {
  json: asItIs,
  csv: asItIs,
  bluetooth: decodeIndication,
  hl7v2: decodeOruMessage,
  fhir: decodeResources,
}

function asItIs(record: SourceRecord): Result<readonly DecodedRecord[]> {
  return ok([{ record, remarks: [] }])
}
