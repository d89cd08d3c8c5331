import { visibleLines, visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { DeliveryPreview } from '../../../flow/operate/preview-delivery.ts'
import type { ToldDelivery, ToldDeliveryInFull } from '../../../flow/operate/told-delivery.ts'
import { bad, prose, quiet, strong, warn } from '../terminal.ts'
import { stateText } from './delivery-list.ts'

/** One delivery, in sentences: what it is, how far it is, why it stands, what to do, and what was said. */
export function deliveryLines(delivery: ToldDeliveryInFull, width: number): readonly string[] {
  const { id, destination, source, subject, kind, part, about, state, attempts } = delivery
  const what = part === undefined ? kind : `${kind} ${part}`
  const lines = [
    `${strong(`Delivery ${id}`)}: ${what} of ${source} ${visibleText(subject)} for ${destination}`,
    `about    ${about}`,
    `state    ${stateText(state)}, tried ${counted(attempts, 'time')}, ${momentsText(delivery)}`,
  ]
  if (delivery.behind !== undefined) lines.push(prose(behindText(delivery.behind), width))
  if (delivery.held !== undefined) {
    const references = delivery.held.map(({ reference }) => reference).join(', ')
    lines.push(prose(`held     there as ${references}`, width))
  }
  if (delivery.uncertain && state !== 'settled') {
    lines.push('doubt    it may have been done without anyone hearing of it; it is looked for first')
  }
  if (delivery.problem !== undefined) {
    const { code, meaning, remedy } = delivery.problem
    lines.push(`why      ${code}`, prose(meaning, width), prose(`What to do: ${remedy}`, width))
  }
  if (delivery.said !== undefined) {
    const { status, text } = delivery.said
    const withStatus = status === undefined ? '' : ` with status ${status}`
    const said = text === undefined ? quiet('nothing') : visibleLines(text)
    lines.push(`The clinic’s server answered${withStatus}:`, said)
  }
  return lines
}

function momentsText({ queued, due, settled }: ToldDelivery): string {
  return [
    `queued ${queued}`,
    ...(due === undefined ? [] : [`due ${due}`]),
    ...(settled === undefined ? [] : [`settled ${settled}`]),
  ].join(', ')
}

function behindText({ id, state, problem }: NonNullable<ToldDeliveryInFull['behind']>): string {
  const why = problem === undefined ? '' : `: ${problem.code}. ${problem.meaning}`
  const end = why === '' ? '.' : ''
  return `behind   delivery ${id} of the same patient, which goes first and is ${state}${why}${end} See it with: deliveries show ${id}`
}

/** What would be sent, and how: the words first, then the bundle or message as it would leave. */
export function previewLines(preview: DeliveryPreview, width: number): readonly string[] {
  const { id, destination, instead, way, bundle, message } = preview
  const lines = [`${strong(`Delivery ${id}`)} for ${destination}, as it would be sent now. Nothing was sent.`]
  if (instead !== undefined) {
    const { code, meaning, remedy } = instead
    return [...lines, prose(`${warn('nothing')}  ${code}. ${meaning} ${remedy}`, width)]
  }
  if (way !== undefined) {
    lines.push(`rung     ${way.rung ?? bad('none')}`)
    lines.push(...way.because.map((sentence) => prose(quiet(`         ${sentence}`), width)))
    if (way.unreached !== undefined) {
      lines.push(
        prose(`${warn('asked')}    ${way.unreached.meaning} This rests on what was known before.`, width),
      )
    }
    if (way.leftOut.length > 0) {
      const types = [...new Set(way.leftOut.map(({ type }) => type))].join(', ')
      lines.push(`left out ${counted(way.leftOut.length, 'resource')} the server cannot be given: ${types}`)
    }
    lines.push(...way.differs.map((sentence) => prose(`differs  ${sentence}`, width)))
  }
  if (bundle !== undefined) lines.push(visibleLines(JSON.stringify(bundle, null, 2)))
  if (message !== undefined) lines.push(visibleLines(message.replaceAll('\r', '\n').trimEnd()))
  if (bundle === undefined && message === undefined)
    lines.push('There is nothing to send, and nothing is wrong.')
  return lines
}
