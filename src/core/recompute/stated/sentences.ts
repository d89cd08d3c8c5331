import { isJsonObject } from '../../basics/json-object.ts'
import { type Found, foundIn, textOf } from '../found.ts'

/** A paragraph of an average’s text, or one of its notes. */
export interface Sentence {
  readonly at: string
  readonly text: string
}

/** Ours has some twenty, in its text and once more in its notes. */
const MOST_SENTENCES = 500

export function sentencesOf({ value, at }: Found): readonly Sentence[] {
  const div = isJsonObject(value.text) ? (textOf(value.text.div) ?? '') : ''
  const paragraphs = [...div.matchAll(/<p>([^<]*)<\/p>/g)].slice(0, MOST_SENTENCES)
  const notes = foundIn(value.note, `${at}.note`).slice(0, MOST_SENTENCES)
  return [
    ...paragraphs.map(([, text = '']) => ({ at: `${at}.text.div`, text })),
    ...notes.map((note) => ({ at: `${note.at}.text`, text: textOf(note.value.text) ?? '' })),
  ]
}
