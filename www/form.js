/**
 * The sentence is the form: every blank of the catalogue's sentences is a native control. Nothing
 * is worked out here; what people choose or write goes on as it is.
 */

/**
 * @typedef {import('./jobtorque.js').Contents} Contents
 * @typedef {import('./jobtorque.js').Question} Question
 * @typedef {import('./jobtorque.js').Answer} Answer
 * @typedef {import('./jobtorque.js').JobChoice} JobChoice
 * @typedef {import('./engine.js').Catalogue} Catalogue
 */

/**
 * What was chosen, by the name of its attribute; `null` for nothing.
 * @typedef {Record<string, string | null>} Choice
 */

/** The factor that is offered first where a fastener is no longer fresh. The visitor changes it. */
const FIRST_FACTOR = '1.5';

/**
 * An element with text.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} name
 * @param {string} className
 * @param {string} [text]
 */
export function made(name, className, text) {
  const element = document.createElement(name);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

/**
 * A text whose numbers stay in one line with what they count.
 * @param {string} text
 */
export function joined(text) {
  return text.replace(/(\d) /g, '$1\u00a0');
}

/** The form, made once; its controls keep their place and the focus. */
export class SentenceForm {
  element = made('form', 'ask');
  #ask = made('p', 'sentence');
  #factorLine = made('p', 'sentence more');
  #direction;
  #named;
  #torque;
  #condition;
  #factor;
  #tool;
  #pack;
  #between;
  #loss;
  #within;
  #setup;
  #units;
  #jobs = document.createElement('datalist');
  #shownTemplate = '';
  #shownTorque = '';
  /** @type {Answer | null} */
  #answer = null;

  /**
   * @param {Catalogue} catalogue
   * @param {Contents} contents
   * @param {(choice: Choice) => void} chosen
   */
  constructor(catalogue, contents, chosen) {
    this.catalogue = catalogue;
    this.contents = contents;
    this.chosen = chosen;
    const text = (/** @type {string} */ key) => catalogue.texts[key] ?? '';
    const label = (/** @type {string} */ name) => text(`form.label.${name}`);

    this.#direction = this.#select('direction', label('direction'), (direction) => this.#directed(direction));
    fill(this.#direction, [
      ['loosen', text('form.direction.loosen')],
      ['tighten', text('form.direction.tighten')],
    ]);
    this.#named = this.#select('named-job', label('job'), (job) => {
      const own = this.#answer ? `${this.#answer.job_torque_nm} N·m` : null;
      this.chosen(job ? { job, direction: null } : { job: own, direction: this.#direction.value });
    });
    this.#torque = this.#input('job', label('torque'), 'text', (written) => this.#written(written));
    this.#jobs.id = 'jobs';
    this.#torque.setAttribute('list', this.#jobs.id);
    this.#torque.size = 12;
    this.#condition = this.#select('aged', label('condition'), (condition) => {
      this.chosen({ condition: condition || null });
    });
    fill(this.#condition, [
      ['', text('form.condition.fresh')],
      [FIRST_FACTOR, text('form.condition.aged')],
    ]);
    this.#factor = this.#input('condition', label('factor'), 'number', (factor) => {
      this.chosen({ condition: factor || null });
    });
    this.#tool = this.#select('tool', label('tool'), (tool) => {
      this.chosen({ tool: tool || null, pack: this.#fitting(tool, this.#pack.value) });
    });
    this.#pack = this.#select('pack', label('pack'), (pack) => this.chosen({ pack: pack || null }));
    this.#between = this.#select('between', label('loss'), (between) => {
      this.#loss.hidden = !between;
      if (between) this.#loss.focus();
      else this.chosen({ loss: null });
    });
    fill(this.#between, [
      ['', text('form.between.nothing')],
      ['loss', text('form.between.loss').replace('{loss}', '').trim()],
    ]);
    this.#loss = this.#input('loss', label('loss'), 'number', (loss) => {
      this.chosen({ loss: loss || null });
    });
    this.#within = this.#input('within', label('within'), 'number', (within) => {
      this.chosen({ within: within || null });
    });
    this.#setup = this.#select('setup', label('setup'), (setup) => {
      this.chosen({ setup: setup || null });
    });
    const [first, ...others] = contents.setups;
    if (first) fill(this.#setup, [['', first.name], ...others.map(idAndName)]);
    this.#units = this.#select('units', label('units'), (units) => {
      this.chosen({ units: units || null });
    });
    fill(this.#units, [
      ['n-m', catalogue.units.newton_metre ?? ''],
      ['lbf-ft', catalogue.units.pound_force_foot ?? ''],
    ]);

    const pair = made('p', 'sentence');
    pair.append(...blanks(text('form.pair'), { tool: this.#tool, pack: this.#pack }));
    this.#factorLine.append(
      ...blanks(text('form.factor'), {
        age: text('form.age.years'),
        factor: this.#factor,
      }),
    );
    this.element.append(this.#ask, this.#factorLine, pair, this.#more(text), this.#jobs);
    this.element.setAttribute('part', 'form');
    this.element.addEventListener('submit', (event) => event.preventDefault());
  }

  /** @param {(key: string) => string} text */
  #more(text) {
    const more = made('details', 'more');
    const sentence = made('p', 'sentence');
    const loss = made('span', 'blank');
    loss.append(this.#between, ' ', this.#loss);
    const limit = made('span', 'blank');
    limit.append(this.#within, ` ${this.catalogue.units.second}`);
    sentence.append(...blanks(text('form.more'), { between: loss, limit, setup: this.#setup }));
    const units = made('label', 'settings', `${this.#units.getAttribute('aria-label')} `);
    units.append(this.#units);
    more.append(made('summary', '', text('form.more.open')), sentence, units);
    return more;
  }

  /**
   * Shows the question that was answered.
   * @param {Question} question
   * @param {Answer} answer
   */
  show(question, answer) {
    this.#answer = answer;
    const { contents, catalogue } = this;
    const loosen = answer.direction === 'loosen';
    const job = contents.jobs.find((job) => job.id === answer.job);
    const jobs = contents.jobs.filter((other) => other === job || other.direction === answer.direction);
    fill(this.#named, [['', catalogue.texts['form.job.any'] ?? ''], ...jobs.map(idAndName)]);
    this.#jobs.replaceChildren(
      ...jobs.map((job) => {
        const option = new Option(job.torque, job.name);
        option.label = job.torque;
        return option;
      }),
    );
    this.#direction.value = answer.direction;
    this.#named.value = job?.id ?? '';
    this.#shownTorque = job ? job.torque : (question.job ?? '');
    this.#torque.value = this.#shownTorque;

    const aged = loosen && question.condition != null;
    const factor = aged ? String(question.condition) : FIRST_FACTOR;
    const [, old] = this.#condition.options;
    if (old) old.value = factor;
    this.#condition.value = aged ? factor : '';
    this.#factor.value = factor;
    this.#factorLine.hidden = !aged;

    const mount = contents.tools.find((tool) => tool.id === answer.tool)?.mount;
    const packs = contents.packs.filter(
      (pack) => mount == null || pack.mount === mount || pack.id === answer.pack,
    );
    fill(this.#tool, [['', catalogue.texts['form.tool.any'] ?? ''], ...contents.tools.map(idAndName)]);
    fill(this.#pack, [['', catalogue.texts['form.pack.any'] ?? ''], ...packs.map(idAndName)]);
    this.#tool.value = answer.tool ?? '';
    this.#pack.value = answer.pack ?? '';

    const loss = question.loss_percent;
    this.#between.value = loss == null ? '' : 'loss';
    this.#loss.hidden = loss == null;
    this.#loss.value = loss == null ? '' : String(loss);
    this.#within.value = String(answer.within_s);
    this.#setup.value = answer.setup === contents.setups[0]?.id ? '' : answer.setup;
    this.#units.value = question.units ?? 'n-m';
    this.#lay(catalogue.texts[loosen ? 'form.loosen' : 'form.tighten'] ?? '');
  }

  /**
   * Puts the controls of the job where the sentence has its blanks.
   * @param {string} template
   */
  #lay(template) {
    if (template === this.#shownTemplate) return;
    this.#shownTemplate = template;
    const root = this.element.getRootNode();
    const focused = root instanceof ShadowRoot ? root.activeElement : null;
    this.#ask.replaceChildren(
      ...blanks(template, {
        direction: this.#direction,
        job: this.#named,
        torque: this.#torque,
        condition: this.#condition,
      }),
    );
    if (focused instanceof HTMLElement && this.#ask.contains(focused)) focused.focus();
  }

  /**
   * A direction was chosen: the same job the other way where the file has it.
   * @param {string} direction
   */
  #directed(direction) {
    const job = this.contents.jobs.find((job) => job.id === this.#answer?.job);
    const twin = this.contents.jobs.find(
      (other) => other.name === job?.name && other.direction === direction,
    );
    /** @type {Choice} */
    const choice = twin ? { job: twin.id, direction: null } : { direction };
    if (direction === 'tighten') choice.condition = null;
    this.chosen(choice);
  }

  /**
   * A torque was written, or the name of a job.
   * @param {string} written
   */
  #written(written) {
    if (written === this.#shownTorque && this.#answer) return;
    const jobs = this.contents.jobs.filter((job) => job.name === written || job.id === written);
    const direction = this.#direction.value;
    const job = jobs.find((job) => job.direction === direction) ?? jobs[0];
    this.chosen(job ? { job: job.id, direction: null } : { job: written, direction });
  }

  /**
   * The pack, if it fits the tool.
   * @param {string} toolId
   * @param {string} packId
   */
  #fitting(toolId, packId) {
    const tool = this.contents.tools.find((tool) => tool.id === toolId);
    const pack = this.contents.packs.find((pack) => pack.id === packId);
    return pack && (!tool || tool.mount === pack.mount) ? pack.id : null;
  }

  /**
   * @param {string} name
   * @param {string} label
   * @param {(value: string) => void} changed
   */
  #select(name, label, changed) {
    return named(made('select', ''), name, label, changed);
  }

  /**
   * @param {string} name
   * @param {string} label
   * @param {'text' | 'number'} type
   * @param {(value: string) => void} changed
   */
  #input(name, label, type, changed) {
    const input = made('input', type);
    input.type = type;
    input.autocomplete = 'off';
    if (type === 'number') {
      input.step = 'any';
      input.min = '0';
    }
    return named(input, name, label, changed);
  }
}

/**
 * A control with its name, its label for those who do not see the sentence, and what it does.
 * @template {HTMLInputElement | HTMLSelectElement} C
 * @param {C} control
 * @param {string} name
 * @param {string} label
 * @param {(value: string) => void} changed
 */
export function named(control, name, label, changed) {
  control.name = name;
  control.setAttribute('aria-label', label);
  control.setAttribute('part', 'control');
  control.addEventListener('change', () => changed(control.value.trim()));
  return control;
}

/**
 * Value and text of an option.
 * @param {{ id: string, name: string }} choice
 * @returns {[string, string]}
 */
function idAndName({ id, name }) {
  return [id, name];
}

/**
 * Gives a select its options, unless it has them.
 * @param {HTMLSelectElement} select
 * @param {[string, string][]} options
 */
export function fill(select, options) {
  const same =
    select.options.length === options.length &&
    options.every(
      ([value, text], i) => select.options[i]?.value === value && select.options[i]?.text === text,
    );
  if (!same) select.replaceChildren(...options.map(([value, text]) => new Option(text, value)));
}

/**
 * A template's words and, at its blanks, what stands there.
 * @param {string} template
 * @param {Record<string, Node | string>} fillings
 * @returns {(Node | string)[]}
 */
function blanks(template, fillings) {
  return template.split(/\{(\w+)\}/).map((piece, i) => (i % 2 ? (fillings[piece] ?? '') : piece));
}
