import Table from 'cli-table3'
import { blocks } from '../../../src/core/basics/issue.ts'
import { validateResource } from '../../../src/core/validation/validate-resource.ts'
import { CORPUS } from '../../corpus/corpus.ts'
import { blockingTexts, type CorpusCase, isValid } from '../../corpus/corpus-case.ts'
import { registryValidators } from '../registry-validators.ts'

/** What one validator makes of the corpus. Right and the two ways to be wrong add up to the cases. */
export interface Verdicts {
  readonly validator: string
  readonly right: number
  /** Wrong resources it finds nothing against. */
  readonly falseAccept: number
  /** Right resources it finds an error in. */
  readonly falseRefuse: number
  /** Of all cases, those it ended with an exception: they count as refused. */
  readonly threw: number
  /** Cases right by every rule and place as well; only ours is asked. */
  readonly rightByRule?: number
}

/**
 * The corpus of `tests/corpus` through this gateway and through general validators of the registry: who accepts what is
 * right and refuses what is wrong. Cases with a profile asked for are left out, because most of the others cannot be
 * asked, and so is hostile input, because one of the others needs minutes for it.
 */
export function countVerdicts(): readonly Verdicts[] {
  const cases = Object.entries(CORPUS)
    .filter(([theme]) => theme !== 'hostile input')
    .flatMap(([, inTheme]) => inTheme.filter(({ options }) => options === undefined))
  const ours = {
    ...verdictsOf('home-bp-gateway', cases, (resource) => validateResource(resource).some(blocks)),
    rightByRule: cases.filter(isRightByRule).length,
  }
  return [ours, ...registryValidators().map(({ name, refuses }) => verdictsOf(name, cases, refuses))]
}

export function verdictTable(rows: readonly Verdicts[]): string {
  const drawn = new Table({
    head: ['validator', 'right', 'false accept', 'false refuse', 'threw', 'right by rule and place'],
    colWidths: [34, 18, 14, 14, 8, 16],
    wordWrap: true,
    style: { head: [], border: [] },
  })
  for (const { validator, right, falseAccept, falseRefuse, threw, rightByRule } of rows) {
    const all = right + falseAccept + falseRefuse
    drawn.push([
      validator,
      `${right} of ${all}, ${((right / all) * 100).toFixed(1)} %`,
      falseAccept,
      falseRefuse,
      threw,
      rightByRule === undefined ? 'not asked' : `${rightByRule} of ${all}`,
    ])
  }
  return drawn.toString()
}

function verdictsOf(
  validator: string,
  cases: readonly CorpusCase[],
  refuses: (resource: unknown) => boolean,
): Verdicts {
  let right = 0
  let falseAccept = 0
  let falseRefuse = 0
  let threw = 0
  for (const one of cases) {
    let refused = true
    try {
      refused = refuses(one.resource)
    } catch {
      threw += 1
    }
    if (refused !== isValid(one)) right += 1
    else if (refused) falseRefuse += 1
    else falseAccept += 1
  }
  return { validator, right, falseAccept, falseRefuse, threw }
}

function isRightByRule({ resource, verdict }: CorpusCase): boolean {
  const expected = blockingTexts(verdict === 'valid' ? [] : verdict)
  return blockingTexts(validateResource(resource)).join() === expected.join()
}
