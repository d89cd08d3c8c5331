/** What a person may have written, and a value that no pressure has. Both are known by `showsCanary`. */
export const CANARY = 'wrenfeather 141/88'
const NUMBER = 8_675_309_246

/** A body that is only a canary, is broken by one, or has one in the place of each value. */
export function* withCanaries(body: string): Generator<string> {
  yield CANARY
  yield JSON.stringify(CANARY)
  yield `${body} ${CANARY}`
  for (const line of body.trimEnd().split('\n').slice(0, 1)) {
    const value = jsonOf(line) ?? jsonOf(body)
    if (value === undefined) yield* cells(body)
    else for (const one of changes(value)) yield JSON.stringify(one)
  }
}

/** Of what is not JSON, each cell or field. */
function* cells(body: string): Generator<string> {
  const parts = body.split(/([,;|\r\n])/)
  for (let index = 0; index < Math.min(parts.length, 120); index += 2) {
    yield parts.with(index, CANARY).join('')
  }
}

function* changes(value: unknown): Generator<unknown> {
  if (Array.isArray(value)) {
    for (const [index, inner] of value.entries())
      for (const one of changes(inner)) yield value.with(index, one)
  } else if (typeof value === 'object' && value !== null) {
    for (const [key, inner] of Object.entries(value))
      for (const one of changes(inner)) yield { ...value, [key]: one }
  } else {
    yield CANARY
    yield NUMBER
  }
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
