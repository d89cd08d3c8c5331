/** Fields of MSH before MSH-10, counted as they stand between separators: MSH-1 is the separator itself. */
const FIELDS_BEFORE = 9

/**
 * A message of ours that was written without a control id, under one.
 *
 * @param controlId MSH-10, without characters that would need escaping.
 */
export function withControlId(message: string, controlId: string): string {
  const fields = message.split('|', FIELDS_BEFORE)
  const before = fields.join('|').length
  return `${fields.join('|')}|${controlId}${message.slice(before + 1)}`
}
