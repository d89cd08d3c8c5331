import { remark } from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { ok, type Result, refused } from '../basics/result.ts'
import { unescapeText } from './escape-text.ts'
import type { Separators } from './separators.ts'

/** Segments one message may have: far above a month of readings. A local choice. */
const MOST_SEGMENTS = 5000

/** Segments of which a message has one; others are told by which of their name they are. */
const SINGLE: ReadonlySet<string> = new Set(['MSH', 'PID'])

/** One segment of a message that came in. Fields, components and repetitions are counted from 1, as the standard does. */
export class ReadSegment {
  readonly name: string
  /** As it stands in the message, without its end. */
  readonly line: string
  readonly #ordinal: number
  readonly #fields: readonly string[]
  readonly #separators: Separators

  /** @param ordinal which of its name it is, from 1. */
  constructor(line: string, ordinal: number, separators: Separators) {
    const parts = line.split(separators.field)
    this.name = parts[0] ?? ''
    this.line = line
    // In MSH the separator itself is field 1.
    this.#fields = this.name === 'MSH' ? ['', separators.field, ...parts.slice(1)] : parts
    this.#ordinal = ordinal
    this.#separators = separators
  }

  /** How the segment, or one of its fields, is called in an issue: `OBX[3]-5`. */
  place(field?: number): string {
    const segment =
      SINGLE.has(this.name) && this.#ordinal === 1 ? this.name : `${this.name}[${this.#ordinal}]`
    return field === undefined ? segment : `${segment}-${field}`
  }

  /** How often a field is there. */
  repetitions(field: number): number {
    const raw = this.#fields[field] ?? ''
    return raw === '' ? 0 : raw.split(this.#separators.repetition).length
  }

  /** A component's first subcomponent, its escapes decoded; empty when nothing is there, or HL7's null, `""`. */
  text(field: number, component = 1, repetition = 1): string {
    const { repetition: again, component: parts, subcomponent } = this.#separators
    const once = (this.#fields[field] ?? '').split(again)[repetition - 1] ?? ''
    return this.#decoded(once.split(parts)[component - 1]?.split(subcomponent)[0] ?? '')
  }

  /** A field of plain text as a whole. */
  whole(field: number): string {
    return this.#decoded(this.#fields[field] ?? '')
  }

  #decoded(raw: string): string {
    return raw === '""' ? '' : unescapeText(raw, this.#separators)
  }
}

/** The segments of a message. */
export interface ReadSegments {
  readonly header: ReadSegment
  /** All, the header first. */
  readonly segments: readonly ReadSegment[]
  readonly remarks: readonly Issue[]
}

/**
 * Takes a message apart. Each segment must end with CR; LF and CR LF are read with a remark, because files and editors
 * make them and no segment can hold either unescaped. Source: HL7 v2.5.1 sections 2.5.1, 2.5.4 and 2.6.
 */
export function readSegments(text: string): Result<ReadSegments> {
  const lines = text.includes('\r') ? text.split(/\r\n?/) : text.split('\n')
  while (lines.at(-1)?.trim() === '') lines.pop()
  const separators = separatorsOf(lines[0] ?? '')
  if (separators === undefined) return refused([noHeader()])
  if (lines.length > MOST_SEGMENTS) return refused([tooMany()])
  const withNul = lines.findIndex((line) => line.includes('\0'))
  if (withNul !== -1) return refused([holdsNul(withNul + 1)])
  const counts = new Map<string, number>()
  const segments: ReadSegment[] = []
  for (const [at, line] of lines.entries()) {
    const name = line.slice(0, 3)
    if (!/^[A-Z][A-Z0-9]{2}$/.test(name) || ![separators.field, undefined].includes(line[3]))
      return refused([noSegment(at + 1)])
    const ordinal = (counts.get(name) ?? 0) + 1
    counts.set(name, ordinal)
    segments.push(new ReadSegment(line, ordinal, separators))
  }
  const [header, ...others] = segments
  if (header === undefined) return refused([noHeader()])
  const second = others.find(({ name }) => name === 'MSH')
  if (second !== undefined) return refused([secondMessage(second)])
  const part = others.find(({ name }) => name === 'ADD' || name === 'DSC')
  if (part !== undefined) return refused([fragment(part)])
  return ok({ header, segments, remarks: /\n/.test(text) && lines.length > 1 ? [LINE_FEEDS] : [] })
}

/**
 * MSH-1 is the character behind `MSH`, MSH-2 the four after it, from version 2.7 on with a fifth for what was cut.
 * All differ, and none is a letter, a digit or a control character.
 */
function separatorsOf(header: string): Separators | undefined {
  const parts = /^MSH([^\p{L}\p{N}\p{C}])([^\p{L}\p{N}\p{C}]{4,5})\1/u.exec(header)
  const [field = '', encoding = ''] = parts?.slice(1) ?? []
  const [component = '', repetition = '', mark = '', subcomponent = ''] = encoding
  if (parts === null || new Set(field + encoding).size !== field.length + encoding.length) return undefined
  return { field, component, repetition, escape: mark, subcomponent }
}

const LINE_FEEDS = remark('', 'segments that end with CR alone', 'End each segment with CR (0x0D).')

function noHeader(): Issue {
  const expected = 'MSH, the field separator and four or five encoding characters that all differ'
  return inputError('structure', 'STRUCTURE', 'MSH', expected, 'Send one whole HL7 v2 message.')
}

function noSegment(line: number): Issue {
  const expected = 'a segment: three letters or digits, then the field separator'
  return inputError(
    'structure',
    'STRUCTURE',
    `segment ${line}`,
    expected,
    'Escape line breaks in text as \\.br\\.',
  )
}

/** A NUL is no character of a text, and what keeps texts may take it for their end. */
function holdsNul(line: number): Issue {
  const remedy = 'Send the message as text; encode other data as the standard says.'
  return inputError('structure', 'NOT_IN_ENCODING', `segment ${line}`, 'text without NUL (0x00)', remedy)
}

function secondMessage(segment: ReadSegment): Issue {
  return inputError('structure', 'TOO_MANY', segment.place(), 'one message', 'Send messages one by one.')
}

function fragment(segment: ReadSegment): Issue {
  const expected = 'a whole message and no fragment of one'
  return inputError('not-supported', 'NOT_SUPPORTED', segment.place(), expected, 'Send it in one piece.')
}

function tooMany(): Issue {
  const expected = `at most ${MOST_SEGMENTS} segments`
  return inputError('too-long', 'TOO_MANY', '', expected, 'Send fewer readings in one message.')
}
