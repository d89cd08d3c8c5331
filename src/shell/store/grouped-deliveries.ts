import { GroupCommit } from './group-commit.ts'
import type { DeliveryWrite, Written } from './outbox/delivery-writes.ts'
import type { Writer } from './writer.ts'

type Answer = { readonly written: Written } | { readonly error: unknown }

/**
 * Lets the calls that deliveries under way make at about the same time share one commit. When a shared commit fails,
 * each of its calls is made alone, so that only the one at fault fails.
 */
export class GroupedDeliveries {
  readonly #writer: Writer
  readonly #commits: GroupCommit<DeliveryWrite, Answer>

  constructor(writer: Writer) {
    this.#writer = writer
    this.#commits = new GroupCommit((writes) => this.#together(writes))
  }

  async write(write: DeliveryWrite): Promise<Written> {
    const [answer] = await this.#commits.add([write])
    if (answer === undefined) throw new Error(`${write.call} got no answer`)
    if ('error' in answer) throw answer.error
    return answer.written
  }

  close(): Promise<void> {
    return this.#commits.close()
  }

  async #together(writes: readonly DeliveryWrite[]): Promise<readonly Answer[]> {
    try {
      return (await this.#writer.call('writeDeliveries', writes)).map((written) => ({ written }))
    } catch (error) {
      if (writes.length === 1) return [{ error }]
      const answers: Answer[] = []
      for (const write of writes) answers.push(...(await this.#together([write])))
      return answers
    }
  }
}
