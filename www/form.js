/**
 * The sentence is the form: every blank of the catalogue's sentences is a control. Nothing is worked
 * out here; what people choose or write goes on as it is.
 */

import { blanks, fill, joined, line, made, numberBlank, picker, pressable, together } from './dom.js';
import { Fault } from './offers.js';
import { refill } from './pairs.js';
import { TypedBlank } from './combobox.js';

/**
 * @typedef {import('./jobtorque.js').Contents} Contents
 * @typedef {import('./jobtorque.js').Question} Question
 * @typedef {import('./jobtorque.js').Answer} Answer
 * @typedef {import('./jobtorque.js').Found} Found
 * @typedef {import('./jobtorque.js').Problem} BlankProblem
 * @typedef {import('./combobox.js').Suggestion} Suggestion
 * @typedef {import('./engine.js').Catalogue} Catalogue
 * @typedef {import('./dom.js').Choice} FormChoice
 */

/** The form, made once; its controls keep their place and the focus. */
export class SentenceForm {
  element = made('form', 'ask');
  #direction;
  #job;
  #condition;
  #factor;
  /** What stands behind the condition of an aged fastener: times the factor. */
  #times = made('span', '');
  /** Stands before the name of a tool. */
  #wrench = made('span', '');
  #tool;
  /** Only in a large field; there it stands for the tool. @type {TypedBlank<Suggestion> | null} */
  #typedTool = null;
  #pack;
  #between;
  #loss;
  /** What stands beside the loss: what was measured of it. */
  #measured = made('span', 'measured');
  #within;
  #setup;
  #rig;
  #units;
  #opener;
  #lines = { job: line(), pair: line(), more: line() };
  #fault;
  /** The blanks by the part of the question that each gives. @type {Record<string, HTMLElement>} */
  #blanks;
  #found;
  #shownTemplate = '';
  /** @type {Question} */
  #question = /** @type {Question} */ ({});
  /** @type {Answer | null} */
  #answer = null;

  /**
   * @param {Catalogue} catalogue
   * @param {Contents} contents
   * @param {(text: string, question: Question) => Found} found
   * @param {(choice: FormChoice) => void} chosen
   */
  constructor(catalogue, contents, found, chosen) {
    this.catalogue = catalogue;
    this.contents = contents;
    this.chosen = chosen;
    this.#found = found;
    const text = (/** @type {string} */ key) => catalogue.texts[key] ?? '';
    const label = (/** @type {string} */ name) => text(`form.label.${name}`);

    this.#direction = picker('direction', label('direction'), (direction) => {
      // A factor is for loosening alone.
      chosen(direction === 'tighten' ? { direction, condition: null } : { direction });
    });
    fill(this.#direction, [
      ['loosen', text('form.direction.loosen')],
      ['tighten', text('form.direction.tighten')],
    ]);
    this.#job = new TypedBlank(
      'job',
      label('job'),
      text('form.job.hint'),
      (written) =>
        found(written, this.#asked()).jobs.map((offer) => ({
          ...offer,
          id: offer.job,
          note: offer.torque,
          group: null,
        })),
      (offer) => this.#take(offer),
      // A number alone is in the unit that is shown.
      (job) => this.#write(job, /\p{L}/u.test(job) ? null : (this.#asked().units ?? null)),
    );
    this.#fault = new Fault(this.#job.control, (offer) => this.#take(offer));
    this.#condition = picker('aged', label('condition'), (condition) => {
      chosen({ condition: condition || null });
    });
    this.#factor = numberBlank('condition', label('factor'), (condition) => {
      chosen({ condition: condition || null });
    });
    this.#tool = picker('tool', label('tool'), (tool) => this.#chooseTool(tool));
    if (contents.is_large) this.#typedTool = this.#toolToType(label('tool'), text('form.tool.any'));
    this.#pack = picker('pack', label('pack'), (pack) => chosen({ pack: pack || null }));
    this.#between = picker('between', label('loss'), (between) => {
      this.#loss.hidden = !between;
      if (between) this.#loss.focus();
      else chosen({ loss: null });
    });
    fill(this.#between, [
      ['', text('form.between.nothing')],
      ['loss', text('form.between.loss').replace('{loss}', '').trim()],
    ]);
    this.#loss = numberBlank('loss', label('loss'), (loss) => chosen({ loss: loss || null }));
    this.#within = numberBlank('within', label('within'), (within) => chosen({ within: within || null }));
    this.#setup = picker('setup', label('setup'), (setup) => chosen({ setup: setup || null }));
    fill(this.#setup, firstOfFile(contents.setups));
    this.#rig = picker('rig', label('rig'), (rig) => chosen({ rig: rig || null }));
    fill(this.#rig, firstOfFile(contents.rigs));
    this.#units = picker('units', label('units'), (units) => chosen({ units }));
    fill(this.#units, [
      ['n-m', catalogue.units.newton_metre ?? ''],
      ['lbf-ft', catalogue.units.pound_force_foot ?? ''],
    ]);
    this.#opener = pressable('quiet', text('form.more.open'), () =>
      this.#open(this.#lines.more.hidden === true),
    );

    const tool = this.#typedTool?.control ?? this.#tool;
    this.#blanks = {
      job: this.#job.control,
      direction: this.#direction,
      units: this.#units,
      condition: this.#factor,
      tool,
      pack: this.#pack,
      loss_percent: this.#loss,
      within_s: this.#within,
      setup: this.#setup,
      rig: this.#rig,
    };
    this.#build(text);
    this.element.append(...Object.values(this.#lines), this.#fault.element);
    this.element.setAttribute('part', 'form');
    this.element.addEventListener('submit', (event) => event.preventDefault());
  }

  /**
   * The lines whose blanks keep their places.
   * @param {(key: string) => string} text
   */
  #build(text) {
    const { pair, more } = this.#lines;
    this.#times.append(...blanks(text('form.factor'), { factor: this.#factor }));
    this.#wrench.textContent = `${text('form.wrench')} `;
    pair.append(
      ...blanks(text('form.pair'), {
        wrench: this.#wrench,
        tool: this.#typedTool?.element ?? this.#tool,
        pack: this.#pack,
      }),
      ' ',
      this.#opener,
    );
    const template = this.contents.rigs.length > 1 ? 'form.more.rigs' : 'form.more';
    more.append(
      ...blanks(text(template), {
        between: together(this.#between, this.#loss),
        limit: together(this.#within, `\u00a0${this.catalogue.units.second}`),
        setup: this.#setup,
        rig: this.#rig,
      }),
    );
    more.append(this.#measured);
    more.id = 'more';
    this.#opener.setAttribute('aria-controls', 'more');
    this.#open(false);
  }

  /** @param {boolean} open whether the line that is seldom needed is shown */
  #open(open) {
    this.#lines.more.hidden = !open;
    this.#opener.setAttribute('aria-expanded', String(open));
  }

  /**
   * Shows the question that was answered.
   * @param {Question} question
   * @param {Answer} answer
   */
  show(question, answer) {
    this.#question = question;
    this.#answer = answer;
    const { contents, catalogue } = this;
    const loosen = answer.direction === 'loosen';
    const job = contents.jobs.find((job) => job.id === answer.job);
    this.#direction.value = answer.direction;
    this.#job.show(job?.name ?? question.job ?? '');
    this.#units.value = answer.units;

    const condition = loosen ? question.condition : null;
    const isFactor = typeof condition === 'number';
    const factor = String((isFactor && condition) || contents.first_factor);
    const nuts = answer.nuts_tried.filter(({ take }) => take !== null);
    fill(this.#condition, [
      ['', catalogue.texts['form.condition.fresh'] ?? ''],
      [factor, catalogue.texts['form.condition.aged'] ?? ''],
      ...nuts.map(({ condition, take }) => /** @type {const} */ ([condition, take ?? ''])),
    ]);
    this.#condition.value = isFactor ? factor : (condition ?? '');
    this.#factor.value = factor;
    this.#times.hidden = !isFactor;

    this.#showPair(answer);
    const loss = question.loss_percent;
    this.#between.value = loss == null ? '' : 'loss';
    this.#loss.hidden = loss == null;
    this.#loss.value = loss == null ? '' : String(loss);
    this.#showMeasured(answer);
    this.#within.value = String(answer.within_s);
    this.#setup.value = answer.setup === contents.setups[0]?.id ? '' : answer.setup;
    this.#rig.value = answer.rig === contents.rigs[0]?.id ? '' : answer.rig;
    const kind = job ? 'named' : answer.bolt ? 'bolt' : 'torque';
    this.#lay(catalogue.texts[loosen ? `form.loosen.${kind}` : `form.tighten.${kind}`] ?? '', answer);
  }

  /**
   * A job that cannot be read stands in its blank as it was written, in the sentence of a torque.
   * @param {string} written
   * @param {Answer} answer whose direction it has
   */
  showJob(written, answer) {
    const { texts } = this.catalogue;
    const loosen = answer.direction === 'loosen';
    this.#job.show(written);
    this.#lay(texts[loosen ? 'form.loosen.torque' : 'form.tighten.torque'] ?? '', answer);
  }

  /**
   * What extensions cost by measurement; one press takes it.
   * @param {Answer} answer
   */
  #showMeasured({ setup_costs }) {
    const losses = setup_costs.flatMap(({ words, take, take_percent }) => {
      if (take === null) return [];
      const taken = () => this.chosen({ loss: String(take_percent) });
      return [joined(words), ' ', pressable('pair', joined(take), taken), ' '];
    });
    refill(this.#measured, losses);
  }

  /** @param {Answer} answer */
  #showPair({ tool, pack }) {
    const { contents, catalogue } = this;
    const anyTool = catalogue.texts['form.tool.any'] ?? '';
    const shown = contents.tools.find(({ id }) => id === tool);
    const packs = contents.packs.filter(
      ({ id, mount }) => shown == null || mount === shown.mount || id === pack,
    );
    if (this.#typedTool) {
      this.#typedTool.show(shown?.name ?? anyTool);
    } else {
      const tools = contents.tools.map(({ id, name, maker }) => /** @type {const} */ ([id, name, maker]));
      fill(this.#tool, [['', anyTool], ...tools]);
      this.#tool.value = tool ?? '';
    }
    const anyPack = catalogue.texts['form.pack.any'] ?? '';
    fill(this.#pack, [['', anyPack], ...packs.map(({ id, name }) => /** @type {const} */ ([id, name]))]);
    this.#pack.value = pack ?? '';
    this.#wrench.hidden = tool === null;
  }

  /**
   * Says what is wrong with a question and marks its blanks; nothing wrong takes it back.
   * @param {BlankProblem[]} problems
   */
  report(problems) {
    const faulty = new Set(problems.map(({ pointer }) => pointer.slice(1)));
    // A condition is written as a factor or picked.
    const unused = this.#times.hidden ? this.#factor : this.#condition;
    const controls = Object.entries(this.#blanks);
    controls.push(['condition', this.#condition]);
    for (const [part, control] of controls) {
      if (faulty.has(part) && control !== unused) {
        control.setAttribute('aria-invalid', 'true');
        control.setAttribute('aria-describedby', this.#fault.id);
        if (this.#lines.more.contains(control)) this.#open(true);
      } else {
        control.removeAttribute('aria-invalid');
        control.removeAttribute('aria-describedby');
      }
    }
    this.#fault.show(problems);
  }

  /**
   * Puts the controls of the job where the sentence has its blanks.
   * @param {string} template
   * @param {Answer} answer
   */
  #lay(template, answer) {
    const words = this.#lines.job;
    const torque = words.querySelector('.torque');
    if (template === this.#shownTemplate) {
      if (torque) torque.textContent = `${answer.job_torque}\u00a0`;
      return;
    }
    this.#shownTemplate = template;
    const root = this.element.getRootNode();
    const focused = root instanceof ShadowRoot ? root.activeElement : null;
    const figure = made('span', 'torque', `${answer.job_torque}\u00a0`);
    words.replaceChildren(
      ...blanks(template, {
        direction: this.#direction,
        job: this.#job.element,
        torque: together(figure, this.#units),
        condition: together(this.#condition, this.#times),
      }),
    );
    if (focused instanceof HTMLElement && words.contains(focused)) focused.focus();
  }

  /**
   * A job is asked for in the direction that is shown.
   * @param {string} job
   * @param {string | null} units
   * @param {FormChoice} [more]
   */
  #write(job, units, more) {
    this.chosen({ job, direction: this.#direction.value, units, ...more });
  }

  /**
   * What was offered is asked for: a job of the file in the unit that is shown, else in its own.
   * @param {Found['jobs'][0]} offer
   */
  #take({ job, condition }) {
    const isListed = this.contents.jobs.some(({ id }) => id === job);
    const units = isListed ? (this.#asked().units ?? null) : null;
    this.#write(job, units, condition === null ? undefined : { condition: String(condition) });
  }

  /** The question as it is answered: a name is looked for in its direction and unit. */
  #asked() {
    const { direction, units } = this.#answer ?? {};
    return { ...this.#question, direction: direction ?? null, units: units ?? null };
  }

  /**
   * Where there are too many tools to look through, the tool is typed.
   * @param {string} label
   * @param {string} any
   */
  #toolToType(label, any) {
    /** @type {Suggestion} */
    const all = { id: null, name: any, note: '', group: null };
    /** @type {(written: string) => Suggestion[]} */
    const suggested = (written) =>
      this.#found(written, this.#asked()).tools.map(({ id, name, aka, maker }) => ({
        id,
        name,
        note: aka.join(', '),
        group: maker,
      }));
    return new TypedBlank(
      'tool',
      label,
      '',
      (written) => [...(written ? [] : [all]), ...suggested(written)],
      ({ id }) => this.#chooseTool(id),
      (tool) => this.#chooseTool(tool),
    );
  }

  /**
   * A tool was chosen: the pack stays if it fits.
   * @param {string | null} tool
   */
  #chooseTool(tool) {
    const { tools, packs } = this.contents;
    const mount = tools.find(({ id }) => id === tool)?.mount;
    const pack = packs.find(({ id }) => id === this.#pack.value);
    const fits = pack && (mount === undefined || mount === pack.mount);
    this.chosen({ tool: tool || null, pack: fits ? pack.id : null });
  }
}

/**
 * The options of a list of the file: the first stands for what is asked where nothing is chosen.
 * @param {{ id: string, name: string }[]} list
 * @returns {[string, string][]}
 */
function firstOfFile(list) {
  return list.map(({ id, name }, i) => [i === 0 ? '' : id, name]);
}
