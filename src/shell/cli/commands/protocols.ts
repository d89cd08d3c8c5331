import type { Command } from 'commander'
import { toldProtocols } from '../../../flow/operate/told-protocols.ts'
import { loadCatalogue } from '../../config/catalogue/load-catalogue.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { quiet, strong, type Terminal, table } from '../terminal.ts'

/** `protocols`: the rules that averages can be made by, a clinic's own included. Reads the settings and opens no store. */
export function addProtocols(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  settingsOption(program.command('protocols'))
    .summary('the protocols that are loaded, each with its source')
    .description(
      'Lists the protocols, and the rules for 24-hour recordings, that ship or lie in the folders of the settings: id, ' +
        'title, how far the source was read, and the source.',
    )
    .option('--json', 'the answer as JSON')
    .action((options: { settings?: string; json?: true }) => {
      const items = toldProtocols(loadCatalogue(loadSettings(options.settings)))
      if (options.json) terminal.print(JSON.stringify({ items }))
      else {
        const rows = items.map(({ id, title, evidence, citation }) => [
          strong(id),
          evidence,
          `${title}\n${quiet(citation.url === undefined ? citation.text : `${citation.text} ${citation.url}`)}`,
        ])
        const rest = Math.max(30, terminal.width - ID_AND_EVIDENCE)
        terminal.print(table(['protocol', 'evidence', 'title and source'], rows, [28, 12, rest]))
      }
      done(EXIT.done)
    })
}

/** Columns taken by what stands before the title, rules included. */
const ID_AND_EVIDENCE = 44
