import type { DecodedRecord, RefusedPart } from '../../src/core/basics/decoded-record.ts'
import { blocks } from '../../src/core/basics/issue.ts'
import type { Result } from '../../src/core/basics/result.ts'

type Decoded = Result<readonly (DecodedRecord | RefusedPart)[]>

/** The parts that could be read; none where the whole was refused. */
export function readParts(decoded: Decoded): readonly DecodedRecord[] {
  return decoded.ok ? decoded.value.flatMap((part) => ('remarks' in part ? [part] : [])) : []
}

/** Each part in its order: `read`, or what was wrong with it as `CODE place`; undefined where the whole was refused. */
export function toldParts(decoded: Decoded): readonly (string | readonly string[])[] | undefined {
  if (!decoded.ok) return undefined
  return decoded.value.map((part) =>
    'remarks' in part ? 'read' : part.issues.map(({ code, at }) => `${code} ${at}`),
  )
}

/** What was wrong with the whole, or with every part of it, as `CODE place`. */
export function refusedOf(decoded: Decoded): readonly string[] {
  if (readParts(decoded).length > 0) throw new Error('was not refused')
  const parts = decoded.ok ? decoded.value : [decoded]
  const issues = parts.flatMap((part) => ('issues' in part ? part.issues : []))
  if (!issues.every(blocks)) throw new Error('was refused for what does not block')
  return issues.map(({ code, at }) => `${code} ${at}`)
}
