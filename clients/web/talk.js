// One conversation: what was said, what came back, and what to do when the way to the service breaks.

import { keep, kept, thisTab } from "./dom.js";
import * as service from "./service.js";

const NAME = "prepwright.talk";
const SHOWN_AGAIN = 12;

export class Talk {
  constructor() {
    this.id = null;
    this.answered = 0; // messages the service is known to have answered
    this.unsure = null; // a message that may or may not have arrived, as it was sent
  }

  /** The turns of the conversation this tab had open, oldest first; [] when there is none. */
  async restore() {
    const id = kept(thisTab, NAME);
    if (typeof id !== "string") return [];
    const found = await service.talk(id);
    this.id = id;
    this.answered = found.messages.length;
    const recent = found.messages.slice(-SHOWN_AGAIN);
    const replies = await Promise.all(recent.map((message) => service.plan(message.plan)));
    return recent.map((message, place) => ({ said: message.text ?? replies[place].read_as, reply: { ...replies[place], taken_for: message.taken_for } }));
  }

  /** Say something; the reply. A message whose reply was lost on the way is looked up, never said twice. */
  async say(message) {
    if (this.id === null) {
      this.id = await service.openTalk();
      keep(thisTab, NAME, this.id);
    }
    const sent = JSON.stringify(message);
    if (this.unsure !== null) {
      const lost = await this.#lost(sent);
      if (lost) return lost;
    }
    try {
      const reply = await service.sayTo(this.id, message);
      this.answered += 1;
      return reply;
    } catch (trouble) {
      this.unsure = trouble.gone ? sent : null;
      if (trouble.status === 404) this.forget();
      throw trouble;
    }
  }

  async #lost(sent) {
    const found = await service.talk(this.id);
    const arrived = found.messages.length > this.answered;
    const same = this.unsure === sent;
    this.answered = found.messages.length;
    this.unsure = null;
    if (!arrived || !same) return null;
    const last = found.messages.at(-1);
    return { ...(await service.plan(last.plan)), taken_for: last.taken_for };
  }

  /** Begin afresh: the next message opens another conversation. */
  forget() {
    this.id = null;
    this.answered = 0;
    this.unsure = null;
    keep(thisTab, NAME, null);
  }
}
