'use strict';
// Everything from outside becomes text nodes and attributes, never markup.

const MEANING = {
  ok: 'nothing to look at', warn: 'look first', stop: 'cannot be made as drawn',
  error: 'not drawn', waiting: 'being made',
};
const SHAPES = {
  ok: ['circle', { cx: 7, cy: 7, r: 6 }], warn: ['path', { d: 'M7 .5 14 13H0Z' }],
  stop: ['rect', { x: 1, y: 1, width: 12, height: 12 }],
  error: ['path', { d: 'M2 2 12 12M12 2 2 12' }], waiting: ['circle', { cx: 7, cy: 7, r: 5.5 }],
  note: ['rect', { x: 3, y: 3, width: 8, height: 8, transform: 'rotate(45 7 7)' }],
};
const BATCH = 60;
const $ = (id) => document.getElementById(id);
const rows = new Map();
const former = new Map();
let state = null;
let shown = BATCH;
let status = 'all';
let spoken = '';

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children.filter((child) => child !== null));
  return node;
}

function mark(kind) {
  const space = 'http://www.w3.org/2000/svg';
  const drawing = document.createElementNS(space, 'svg');
  drawing.setAttribute('class', 'mark');
  drawing.setAttribute('viewBox', '0 0 14 14');
  drawing.setAttribute('aria-hidden', 'true');
  const [tag, numbers] = SHAPES[kind] ?? SHAPES.note;
  const shape = document.createElementNS(space, tag);
  shape.setAttribute('class', kind);
  for (const [name, value] of Object.entries(numbers)) shape.setAttribute(name, value);
  drawing.append(shape);
  return drawing;
}

const unseen = (text) => make('span', { class: 'unseen' }, text);
const aside = (text) => make('bdi', {}, text);
const address = (file) => `/files/${encodeURIComponent(file.name)}?${file.sha256.slice(0, 12)}`;
const several = (count, one, many) => `${count} ${count === 1 ? one : many}`;

function link(file, text, of) {
  const to = make('a', { href: address(file), 'data-key': file.name, target: '_blank' }, text);
  if (of) to.append(unseen(` of ${of}`));
  return to;
}

function finding(it) {
  const text = make('div', {}, make('p', {}, unseen(`${it.severity}: `), it.message));
  if (it.expected) text.append(make('p', {}, `expected: ${it.expected}`));
  if (it.place) text.append(make('p', { class: 'place' }, it.place));
  if (it.remedies.length) {
    const ways = it.remedies.map((way) => make('li', {}, way));
    text.append(make('ul', { class: 'help', 'aria-label': 'Ways out' }, ...ways));
  }
  return make('li', {}, mark(it.severity), text);
}

const ending = (order, end) => order.files.find((file) => file.name === `${order.id}${end}`);

function picture(order) {
  const file = ending(order, '-proof.png');
  if (!file) return make('p', { class: 'none' }, order.status === 'waiting' ? 'being made' : 'no proof');
  const image = make('img', {
    src: address(file), alt: `Proof of ${order.name}`, loading: 'lazy', decoding: 'async',
    width: 210, height: 297,
  });
  return make('a', { class: 'sheet', href: address(file), 'data-key': 'sheet', target: '_blank' }, image);
}

function facts(order) {
  const list = make('dl', { class: 'facts' });
  const add = (name, value) => value && list.append(make('dt', {}, name), make('dd', {}, aside(value)));
  add('Shape', order.recipe);
  add('Wood', order.wood);
  add('Size', order.size_mm && order.size_mm.map((mm) => Math.round(mm)).join(' × ') + ' mm');
  add('Dishes', order.quantity > 1 ? String(order.quantity) : '');
  add('Machine', order.minutes ? `about ${Math.round(order.minutes)} min` : '');
  add('Version', order.version);
  add('Customer', order.said && (order.said === 'approved' ? 'approved it' : 'asked for a change'));
  return list;
}

function links(order) {
  const chief = [['-proof.pdf', 'Proof'], ['-proof.html', 'Turn the dish'],
    ['-bench.pdf', 'Bench sheet'], ['-cutting.svg', 'Cutting drawing']];
  const found = chief.map(([end, text]) => [ending(order, end), text]).filter(([file]) => file);
  return make('p', { class: 'links' }, ...found.map(([file, text]) => link(file, text, order.name)));
}

function files(order) {
  if (!order.files.length) return null;
  const all = order.files.map((file) => make('li', {}, link(file, file.name, '')));
  const head = make('summary', { 'data-key': 'all' }, several(order.files.length, 'file', 'files'),
    unseen(` of ${order.name}`));
  return make('details', {}, head, make('ul', {}, ...all));
}

function fill(item, order) {
  const open = item.querySelector('details')?.open;
  const about = make('div', {}, make('h3', {}, aside(order.name)),
    make('p', { class: 'id' }, aside(order.id)),
    make('p', { class: 'status' }, mark(order.status),
      make('span', {}, `${order.status}: ${MEANING[order.status] ?? ''}`)),
    facts(order), links(order), files(order));
  const found = make('div', { class: 'found' });
  if (order.findings.length) {
    found.append(make('ul', { class: 'findings', 'aria-label': `Findings of ${order.name}` },
      ...order.findings.map(finding)));
  } else if (order.status !== 'waiting') {
    found.append(make('p', { class: 'nothing' }, 'Nothing found.'));
  }
  item.replaceChildren(picture(order), about, found);
  const details = item.querySelector('details');
  if (details && open) details.open = true;
}

function wanted(order) {
  const words = $('find').value.trim().toLocaleLowerCase();
  const text = [order.name, order.id, order.recipe].join('\n').toLocaleLowerCase();
  // What is being made again stays where it was.
  const kinds = ['all', order.status, order.status === 'waiting' ? former.get(order.id) : null];
  return kinds.includes(status) && text.includes(words);
}

// Rows stay the same nodes as long as they say the same, so that focus and place are kept.
function row(order, fresh) {
  const text = JSON.stringify(order);
  let known = rows.get(order.id);
  if (known?.text === text) return known.item;
  const item = known?.item ?? make('li', { tabindex: '-1' });
  fill(item, order);
  rows.set(order.id, { item, text });
  if (fresh) {
    item.classList.remove('fresh');
    requestAnimationFrame(() => item.classList.add('fresh'));
  }
  return item;
}

function held() {
  const at = document.activeElement;
  const item = at?.closest?.('#orders > li');
  return item ? { at, item, key: at === item ? item.dataset.wants : at.dataset.key } : null;
}

// Where what had the focus is gone for a while, its row has it until it is back.
function hold(before) {
  if (!before || (before.at === document.activeElement && before.at !== before.item)) return;
  const { item, key } = before;
  const same = [...item.querySelectorAll('[data-key]')].find((it) => it.dataset.key === key);
  if (!same) item.dataset.wants = key ?? '';
  (item.isConnected ? same ?? item : $('orders')).focus({ preventScroll: true });
}

function list(fresh) {
  const all = state.orders.filter(wanted);
  const part = all.slice(0, shown);
  const before = held();
  const items = part.map((order) => row(order, fresh));
  const keep = new Set(items);
  const orders = $('orders');
  for (const item of [...orders.children]) if (!keep.has(item)) item.remove();
  items.forEach((item, at) => {
    if (orders.children[at] !== item) orders.insertBefore(item, orders.children[at] ?? null);
  });
  hold(before);
  const known = new Set(state.orders.map((order) => order.id));
  for (const id of rows.keys()) if (!known.has(id)) rows.delete(id);
  const rest = all.length - part.length;
  $('more').hidden = rest === 0;
  $('more').textContent = `Show ${Math.min(rest, BATCH)} more`;
  const count = all.length === state.orders.length
    ? several(all.length, 'order', 'orders')
    : `${all.length} of ${several(state.orders.length, 'order', 'orders')}`;
  $('count').textContent = all.length === 0 && state.orders.length
    ? `${count}. No order has this status and these letters.` : count;
  return count;
}

function statuses() {
  const counts = new Map([['all', state.orders.length], ...state.statuses.map((word) => [word, 0])]);
  for (const order of state.orders) counts.set(order.status, (counts.get(order.status) ?? 0) + 1);
  for (const [word, count] of counts) {
    let choice = document.querySelector(`#statuses input[value="${word}"]`);
    if (!choice) {
      choice = make('input', { type: 'radio', name: 'status', value: word });
      const label = make('label', {}, choice);
      if (word !== 'all') label.append(mark(word));
      label.append(word, make('span', { class: 'many' }));
      $('statuses').append(label);
      choice.checked = word === status;
    }
    const label = choice.parentElement;
    label.querySelector('.many').textContent = count;
    label.title = MEANING[word] ?? '';
    // What no order has is left out, but for what is chosen.
    label.hidden = count === 0 && word !== 'all' && word !== status;
  }
}

function summary() {
  const { run, of } = state;
  if (run.state === 'running') return `${run.made} of ${of} made`;
  if (run.state === 'refused') return 'The last save could not be made. The sheets are as they were.';
  const counts = state.statuses.map((word) => [word, state.orders.filter((it) => it.status === word).length]);
  const told = counts.filter(([, count]) => count).map(([word, count]) => `${count} ${word}`);
  if (!state.orders.length) return 'Nothing is made yet.';
  const cut = state.complete ? '' : ' The run was cut off; the next one completes it.';
  return `${several(state.orders.length, 'order', 'orders')} made: ${told.join(', ')}.${cut}`;
}

function speak(text) {
  if (text !== spoken) $('told').textContent = text;
  spoken = text;
}

function render(next) {
  const first = state === null;
  for (const order of state?.orders ?? []) {
    if (order.status !== 'waiting') former.set(order.id, order.status);
  }
  state = next;
  $('folder').textContent = next.folder;
  $('run').textContent = summary();
  const running = next.run.state === 'running';
  $('bar').hidden = !running;
  $('bar').max = Math.max(next.of, 1);
  $('bar').value = next.run.made;
  document.title = running ? `${next.run.made}/${next.of} Proofs` : 'Proofs';
  const said = next.run.state === 'refused' ? next.why : next.said;
  $('said').hidden = said.length === 0;
  if ($('said').dataset.text !== JSON.stringify(said)) {
    $('said').dataset.text = JSON.stringify(said);
    $('said-list').replaceChildren(...said.map(finding));
  }
  statuses();
  list(!first);
  $('cards').hidden = next.cards.length === 0;
  if ($('cards').dataset.text !== JSON.stringify(next.cards)) {
    $('cards').dataset.text = JSON.stringify(next.cards);
    const cards = next.cards.filter((card) => card.files.length).map((card) => {
      const file = card.files.find((it) => it.name.endsWith('.png')) ?? card.files[0];
      return make('li', {}, link(file, card.recipe, ''));
    });
    $('cards-list').replaceChildren(...cards);
  }
  speak(summary());
}

// One question at a time, and none sooner than three times what the last one took.
let asking = false;
let again = false;
async function ask() {
  if (asking) { again = true; return; }
  asking = true;
  const start = performance.now();
  try {
    const answer = await fetch('/orders.json', { cache: 'no-store' });
    if (answer.ok) render(await answer.json());
  } catch { /* the news say that the connection is lost */ }
  const took = performance.now() - start;
  await new Promise((done) => setTimeout(done, Math.max(100, 3 * took)));
  asking = false;
  if (again) { again = false; ask(); }
}

// A tab that is not looked at gives its connection back: browsers have few for one address.
let news = null;
function listen() {
  news?.close();
  news = null;
  if (document.hidden) return;
  news = new EventSource('/news');
  news.onmessage = () => {
    $('lost').hidden = true;
    ask();
  };
  news.onerror = () => {
    if (!$('lost').hidden) return;
    const time = new Date().toLocaleTimeString();
    $('lost').textContent = `The connection was lost at ${time}: treen has ended, perhaps. `
      + 'What is shown is as it was then; the page tries again by itself.';
    $('lost').hidden = false;
    if (news.readyState === EventSource.CLOSED) setTimeout(listen, 3000);
  };
}

$('choice').addEventListener('submit', (event) => event.preventDefault());
$('statuses').addEventListener('change', (event) => {
  status = event.target.value;
  shown = BATCH;
  statuses();
  speak(`${list(false)} shown`);
});
$('find').addEventListener('input', () => {
  shown = BATCH;
  if (state) speak(`${list(false)} shown`);
});
$('more').addEventListener('click', () => {
  const first = shown;
  shown += BATCH;
  list(false);
  $('orders').children[first]?.querySelector('a, summary')?.focus();
});
document.addEventListener('visibilitychange', listen);
listen();
ask();
