import { jsonpath } from 'json-p3'
import { isDangerousKey } from '../json-text/dangerous-key.ts'

const { selectors, expressions } = jsonpath

/**
 * What keeps a path of RFC 9535 from being used in a mapping, as the clause of what is expected; undefined when nothing
 * does. A path may find one value, or be filtered to one, and costs no more than the value it is applied to is large.
 *
 * @param use `list` allows wildcards, outside filters.
 * @param from what the path begins with; a filter of an item's path cannot ask about the whole record.
 */
export function pathFault(
  query: jsonpath.JSONPathQuery,
  use: 'one' | 'list',
  from: '$' | '@',
): string | undefined {
  for (const segment of query.segments) {
    if (segment.toString().startsWith('..')) return 'no descendants (..): name each step'
    const [selector] = segment.selectors
    if (selector === undefined || segment.selectors.length > 1) {
      return 'one name, position or filter in each pair of brackets'
    }
    const fault = selectorFault(selector, use, from)
    if (fault !== undefined) return fault
  }
  return undefined
}

function selectorFault(
  selector: jsonpath.JSONPathSelector,
  use: 'one' | 'list',
  from: '$' | '@',
): string | undefined {
  if (selector instanceof selectors.NameSelector) {
    return isDangerousKey(selector.name) ? 'no name that can tamper with objects' : undefined
  }
  if (selector instanceof selectors.IndexSelector) return undefined
  if (selector instanceof selectors.FilterSelector) return expressionFault(selector.expression, from)
  if (selector instanceof selectors.WildcardSelector) {
    return use === 'list' ? undefined : 'no wildcard, except in `records` and `each`'
  }
  return 'names, positions and filters only: no slice'
}

function expressionFault(
  expression: jsonpath.expressions.FilterExpression,
  from: '$' | '@',
): string | undefined {
  if (expression instanceof expressions.FunctionExtension) return 'no function'
  if (expression instanceof expressions.RelativeQuery) return pathFault(expression.path, 'one', from)
  if (expression instanceof expressions.RootQuery) {
    if (from === '@') return 'no $ in a filter of a path that begins with @'
    return expression.path.singularQuery()
      ? pathFault(expression.path, 'one', from)
      : 'after $ in a filter names and positions only'
  }
  if (expression instanceof expressions.LogicalExpression) return expressionFault(expression.expression, from)
  if (expression instanceof expressions.PrefixExpression) return expressionFault(expression.right, from)
  if (expression instanceof expressions.InfixExpression) {
    return expressionFault(expression.left, from) ?? expressionFault(expression.right, from)
  }
  return undefined
}

/** The steps of a path of names and positions counted from the front; undefined for any other. */
export function plainStepsOf(query: jsonpath.JSONPathQuery): readonly (string | number)[] | undefined {
  const steps: (string | number)[] = []
  for (const { selectors: inBrackets } of query.segments) {
    const [selector] = inBrackets
    if (selector instanceof selectors.NameSelector) steps.push(selector.name)
    else if (selector instanceof selectors.IndexSelector && selector.index >= 0) steps.push(selector.index)
    else return undefined
  }
  return steps
}
