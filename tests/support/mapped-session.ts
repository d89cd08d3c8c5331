import type { DecodedRecord, RefusedPart } from '../../src/core/basics/decoded-record.ts'
import type { Result } from '../../src/core/basics/result.ts'
import type { SourceRecord } from '../../src/core/basics/source-record.ts'
import type { Session } from '../../src/core/clinical/session.ts'
import { SittingMapper } from '../../src/core/mapping/apply/sitting-mapper.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import { shippedMapping } from './shipped-mapping.ts'

/** What became of what a source sent: sessions, or the issues as `CODE native-place: expected`. */
export interface MappedSessions {
  readonly sessions: readonly Session[]
  readonly refused: readonly string[]
}

/**
 * The whole way from what a source sends to sessions: decoder, shipped mapping, reader of session records.
 *
 * @param zone of the enrolment, for times without an offset.
 */
export function mappedSessions(
  mappingName: string,
  decode: (sent: SourceRecord) => Result<readonly (DecodedRecord | RefusedPart)[]>,
  all: readonly unknown[],
  zone = 'Europe/Berlin',
): MappedSessions {
  const mapper = new SittingMapper(shippedMapping(mappingName))
  const sessions: Session[] = []
  const refused: string[] = []
  const settle = (outcomes: ReturnType<SittingMapper['take']>): void => {
    for (const outcome of outcomes) {
      if (outcome.kind === 'skipped' || outcome.kind === 'withdrawal') continue
      const read =
        outcome.kind === 'refused'
          ? ({ ok: false, issues: outcome.issues } as const)
          : readSession(outcome.sitting.record, { zone })
      if (read.ok) sessions.push(read.value.session)
      else refused.push(...read.issues.map(({ code, at, expected }) => `${code} ${at}: ${expected}`))
    }
  }
  for (const value of all) {
    const text = typeof value === 'string' ? value : JSON.stringify(value)
    const decoded = decode({ value, text })
    for (const part of decoded.ok ? decoded.value : [decoded]) {
      if ('record' in part && 'remarks' in part) settle(mapper.take(part.record))
      else refused.push(...part.issues.map(({ code, at, expected }) => `${code} ${at}: ${expected}`))
    }
  }
  settle(mapper.end())
  return { sessions, refused }
}
