/** Steps from the top of an input to a value: keys and 0-based indexes. */
export type InputPath = readonly PropertyKey[]

/** The path as it is shown: `readings[1].systolic`. A key that is no plain word is quoted, and cut to 60 characters. */
export function placeText(path: InputPath): string {
  let place = ''
  for (const step of path) {
    if (typeof step === 'number') place += `[${step}]`
    else place = withKey(place, String(step))
  }
  return place
}

const LONGEST_KEY_SHOWN = 60

function withKey(place: string, key: string): string {
  const shown = key.slice(0, LONGEST_KEY_SHOWN)
  if (/^[A-Za-z_$][\w$]*$/.test(shown)) return placeInside(place, shown)
  return `${place}[${JSON.stringify(shown.replaceAll(/[\p{C}\p{Zl}\p{Zp}]/gu, '?'))}]`
}

/** The place of a key of the object at `place`. */
export function placeInside(place: string, key: string): string {
  return place === '' ? key : `${place}.${key}`
}
