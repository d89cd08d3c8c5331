import { CITATIONS, type CitationId } from '../citations.ts'
import { ATTENTION_CODES, type AttentionCode, type Finding } from '../finding.ts'

/** One call for attention: what was seen, and from where on that is one. */
export interface Call {
  readonly code: AttentionCode
  /** What was seen, as the opening clause of a sentence; no measured value. */
  readonly seen: string
  /** Where the limit comes from. */
  readonly citation: CitationId
  /** 1-based, when it concerns one reading. */
  readonly reading?: number
  /** Further sources, besides those of the advice. */
  readonly alsoCites?: readonly CitationId[]
}

/** A call for attention with what guidance says to do. Which way the numbers are off is not what it is about. */
export function attentionFinding({ code, seen, citation, reading, alsoCites = [] }: Call): Finding {
  const advice = ADVICE[code]
  const others = [...new Set([...advice.cites, ...alsoCites])].filter((id) => id !== citation)
  return {
    code,
    kind: 'attention',
    severity: 'warning',
    ...(reading === undefined ? {} : { reading }),
    direction: 'unknown',
    text: `${seen}, ${basisOf(citation)}. ${WITH_SYMPTOMS} ${advice.without} ${LOCAL_PRACTICE}`,
    citation,
    ...(others.length === 0 ? {} : { alsoCites: others }),
  }
}

/** The codes among findings that call for attention, each once, in the order of `ATTENTION_CODES`. */
export function attentionCodesOf(findings: readonly Finding[]): readonly AttentionCode[] {
  if (findings.length === 0) return NO_CODES
  return ATTENTION_CODES.filter((code) => findings.some((finding) => finding.code === code))
}

const NO_CODES: readonly AttentionCode[] = Object.freeze([])

/**
 * Said first, because nobody with symptoms should wait for a repeat. Source: the AHA's page for patients, and NICE NG136
 * for new confusion; fainting is added by common practice.
 */
const WITH_SYMPTOMS =
  'With chest or back pain, breathlessness, numbness, weakness, fainting, new confusion, or a change in vision or speech, call the local emergency number at once and do not wait to measure again.'

const LOCAL_PRACTICE = 'Local practice decides; this is not a diagnosis and not an emergency service.'

interface Advice {
  /** What to do without symptoms, as whole sentences. */
  readonly without: string
  readonly cites: readonly CitationId[]
}

const ADVICE: Readonly<Record<AttentionCode, Advice>> = {
  'very-high': {
    without:
      'Without symptoms, the American Heart Association tells patients to wait 1 to 2 minutes and measure again (older wording: 5 minutes), and to contact the clinic when it is still so high. A repeat does not replace the first reading; all are kept.',
    cites: ['aha-severe', 'aha-severe-older'],
  },
  'very-low': {
    without:
      'Without symptoms, no guideline for home readings was found that says what to do; it can be measured again and told to the clinic. A repeat does not replace the first reading; all are kept.',
    cites: ['common-practice'],
  },
  'irregular-pulse-repeated': {
    without:
      'Without symptoms, it can be told to the clinic, which may want to look at the rhythm of the heart. The mark is the monitor’s own and can come from movement too; the readings are kept as measured.',
    cites: ['iso-11073-10407', 'common-practice'],
  },
  'arms-differ': {
    without:
      'Without symptoms, both arms can be measured again and the difference told to the clinic. The arms were measured one after the other, which is not the same as both at once; the readings are kept as measured.',
    cites: ['common-practice'],
  },
  'fall-on-standing': {
    without:
      'Without symptoms, it can be told to the clinic, which may want to look for causes and to measure standing too. The published limit is for at least one minute of standing; the readings are kept as measured.',
    cites: ['nice-ng136-technique'],
  },
}

/** What a limit rests on, as a clause after it. */
function basisOf(citation: CitationId): string {
  if (citation === 'local-practice') return 'the limit set by local practice'
  switch (CITATIONS[citation].evidence) {
    case 'memory':
      return 'the usual lay limit, quoted from memory and not re-read'
    case 'common-practice':
      return 'a limit of common practice'
    default:
      return 'a limit of published guidance'
  }
}
