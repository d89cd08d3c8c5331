import { issueText } from '../../../core/basics/issue.ts'
import type { Result } from '../../../core/basics/result.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { bad, type Terminal } from '../terminal.ts'

/** Prints what a flow gave, in words or as JSON, or why it refused. */
export function toldResult<T>(
  result: Result<T>,
  options: { readonly json?: true },
  terminal: Terminal,
  words: (value: T) => string,
): ExitCode {
  if (!result.ok) {
    if (options.json) terminal.print(JSON.stringify({ issues: result.issues }))
    else
      for (const issue of result.issues)
        terminal.remark(`${bad('refused')}  ${issueText(issue)} [${issue.code}]`)
    return EXIT.refused
  }
  terminal.print(options.json ? JSON.stringify(result.value) : words(result.value))
  return EXIT.done
}
