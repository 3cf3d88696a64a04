"use strict";
(() => {
  /* Degrees the dish leans back and is turned at first, so that its walls are seen. */
  const REST = [-34, 12];
  const FARTHEST = [85, 180];
  const NEAREST = [0.7, 6];
  /* Where the light of the picture comes from: right, up, toward the eye. */
  const TOWARD = [-0.46, 0.52, 0.8];
  /* Half the height that is seen, one unit away. */
  const OPENING = Math.tan((13 * Math.PI) / 180);
  /* Quads along the side of a block that is drawn as one where it is flat. */
  const BLOCK = 8;

  const box = document.getElementById("dish");
  const said = document.getElementById("told");
  const still = matchMedia("(prefers-reduced-motion: reduce)");

  const bytesOf = (id) =>
    Uint8Array.from(atob(document.getElementById(id).textContent), (c) => c.charCodeAt(0));

  async function unpacked(bytes) {
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    return new Uint8Array(await new Response(stream).arrayBuffer());
  }

  /* Heights above the top of the board and ways into the outline, mm, row by row. */
  async function field() {
    const data = document.getElementById("heights").dataset;
    const columns = Number(data.columns), rows = Number(data.rows), count = columns * rows;
    const planes = await unpacked(bytesOf("heights"));
    const depths = new Uint16Array(count);
    const heights = new Float32Array(count), inside = new Float32Array(count);
    const unit = Number(data.unit), edge = Number(data.edge);
    for (let at = 0, way = 0; at < count; at++) {
      const left = at < 1 ? 0 : depths[at - 1];
      const above = at < columns ? 0 : depths[at - columns];
      const corner = at <= columns ? 0 : depths[at - columns - 1];
      const low = Math.min(left, above), high = Math.max(left, above);
      const guess = corner >= high ? low : corner <= low ? high : low + high - corner;
      depths[at] = guess + planes[at] * 256 + planes[count + at];
      way = (way + planes[2 * count + at]) & 255;
      inside[at] = (way - 128) * edge;
      heights[at] = -depths[at] * unit;
    }
    const thickness = Number(data.thickness), round = Number(data.round);
    const step = Number(data.step);
    const it = { columns, rows, step, thickness, round, inside };
    let soft = softened(it, heights, 5 * step);
    for (let pass = 0; pass < 4; pass++) soft = softened(it, soft, 8 * step);
    return { ...it, heights: soft };
  }

  /* Walls that rise more from cell to cell than can be shown are spread over neighbours. */
  function softened({ columns, rows, step, inside }, heights, most) {
    const out = heights.slice();
    for (let row = 1; row < rows - 1; row++) {
      for (let column = 1; column < columns - 1; column++) {
        const at = row * columns + column;
        /* A round at the outline is known exactly. */
        if (inside[at] < 1.6 * step) continue;
        let low = 0, high = -Infinity, sum = 0, weight = 0;
        for (let j = -1; j <= 1; j++) {
          for (let i = -1; i <= 1; i++) {
            const other = at + j * columns + i;
            if (inside[other] < 0) continue;
            const z = heights[other], part = (2 - Math.abs(i)) * (2 - Math.abs(j));
            low = Math.min(low, z);
            high = Math.max(high, z);
            sum += part * z;
            weight += part;
          }
        }
        if (high - low > most) out[at] = sum / weight;
      }
    }
    return out;
  }

  /* Means over squares of so many cells to each side, taken twice. */
  function blurred(values, columns, rows, by) {
    const pass = (from, lines, length, line, next) => {
      const to = new Float32Array(from.length);
      const share = 1 / (2 * by + 1);
      for (let i = 0; i < lines; i++) {
        const start = i * line;
        const get = (k) => from[start + Math.min(Math.max(k, 0), length - 1) * next];
        let sum = 0;
        for (let k = -by; k <= by; k++) sum += get(k);
        for (let k = 0; k < length; k++) {
          to[start + k * next] = sum * share;
          sum += get(k + by + 1) - get(k - by);
        }
      }
      return to;
    };
    for (let turn = 0; turn < 2; turn++) {
      values = pass(values, rows, columns, columns, 1);
      values = pass(values, columns, rows, 1, columns);
    }
    return values;
  }

  /* What the walls around a place hide of the sky, 128 for nothing. */
  function hidden({ columns, rows, step, thickness, heights, inside }) {
    const known = heights.map((z, at) => (inside[at] < 0 ? -thickness : z));
    const cells = (mm) => Math.max(1, Math.round(mm / step));
    const near = blurred(known, columns, rows, cells(1.2));
    const far = blurred(known, columns, rows, cells(5));
    const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
    const share = known.map((z, at) =>
      inside[at] < 0
        ? -0.11
        : clamp(0.5 * (near[at] - z), -0.05, 0.52) + clamp(0.042 * (far[at] - z), -0.06, 0.34));
    return [known, Uint8Array.from(blurred(share, columns, rows, 1), (one) => 128 + 127 * one)];
  }

  /* Triangles: the carved top, cut off exactly at the outline, the side, the underside. */
  function mesh(it) {
    const { columns, rows, step, thickness, round, heights, inside } = it;
    const places = [], normals = [], order = [];
    const x = (column) => (column + 0.5 - columns / 2) * step;
    const y = (row) => (rows / 2 - row - 0.5) * step;

    const add = (px, py, pz, n, top) => {
      places.push(px, py, pz);
      normals.push(Math.round(n[0] * 127), Math.round(n[1] * 127), Math.round(n[2] * 127), top);
      return places.length / 3 - 1;
    };
    const unit = (n) => {
      const length = Math.hypot(...n) || 1;
      return n.map((part) => part / length);
    };
    /* The rise between neighbours, as far as they are known. */
    const rise = (values, at, by, ok) => {
      const before = ok(at - by) ? at - by : at, after = ok(at + by) ? at + by : at;
      return after > before ? ((values[after] - values[before]) * by) / ((after - before) * step) : NaN;
    };
    const wood = (at) => inside[at] >= 0;
    /* The rise along one way, seen in three lines side by side. */
    const mean = (at, by, aside) => {
      let sum = 0, weight = 0;
      for (const [line, part] of [[at - aside, 1], [at, 2], [at + aside, 1]]) {
        const one = wood(line) ? rise(heights, line, by, wood) : NaN;
        if (Number.isNaN(one)) continue;
        sum += part * one;
        weight += part;
      }
      return weight ? sum / weight : 0;
    };
    const all = () => true;
    const outward = (at) =>
      unit([-rise(inside, at, 1, all), rise(inside, at, columns, all), 0]);
    /* Close to the outline a round is too steep for differences. */
    const normal = (at) => {
      const left = round - inside[at];
      if (inside[at] < 1.6 * step && left > 0) {
        const up = Math.sqrt(round * round - left * left);
        if (Math.abs(heights[at] - up + round) < 0.05) {
          const away = outward(at);
          return [(away[0] * left) / round, (away[1] * left) / round, up / round];
        }
      }
      return unit([-mean(at, 1, columns), mean(at, columns, 1), 1]);
    };

    const tops = new Int32Array(columns * rows).fill(-1);
    const unders = new Int32Array(columns * rows).fill(-1);
    const top = (at) => {
      if (tops[at] < 0) {
        const row = Math.floor(at / columns);
        tops[at] = add(x(at - row * columns), y(row), heights[at], normal(at), 127);
      }
      return tops[at];
    };
    const under = (at) => {
      if (unders[at] < 0) {
        const row = Math.floor(at / columns);
        unders[at] = add(x(at - row * columns), y(row), -thickness, [0, 0, -1], 0);
      }
      return unders[at];
    };
    const fan = (points) => {
      for (let i = 2; i < points.length; i++) order.push(points[0], points[i - 1], points[i]);
    };

    /* Where the outline passes between a cell inside and one outside. */
    const crossing = (a, b) => {
      const [from, to] = wood(a) ? [a, b] : [b, a];
      const share = inside[from] / (inside[from] - inside[to]);
      const row = Math.floor(from / columns), other = Math.floor(to / columns);
      const column = from - row * columns;
      const px = x(column + (to - other * columns - column) * share);
      const py = y(row + (other - row) * share);
      const pz = Math.max(-thickness, Math.min(heights[from], -round));
      const away = outward(from);
      const lip = add(px, py, pz, round > 0 ? away : normal(from), 127);
      const side = add(px, py, pz, away, 0);
      const foot = add(px, py, -thickness, away, 0);
      return { lip, side, foot, base: add(px, py, -thickness, [0, 0, -1], 0) };
    };
    /* A quad that the outline passes through. */
    const clipped = (corners) => {
      const upper = [], lower = [], cuts = [];
      corners.forEach((at, i) => {
        const next = corners[(i + 1) % 4];
        if (wood(at)) {
          upper.push(top(at));
          lower.push(under(at));
        }
        if (wood(at) !== wood(next)) {
          const cut = crossing(at, next);
          upper.push(cut.lip);
          lower.push(cut.base);
          cuts.push([wood(at), cut]);
        }
      });
      fan(upper);
      fan(lower);
      cuts.forEach(([leaves, cut], i) => {
        if (!leaves) return;
        const back = cuts[(i + 1) % cuts.length][1];
        order.push(cut.side, cut.foot, back.side, back.side, cut.foot, back.foot);
      });
    };

    const quad = (at) => [at, at + columns, at + columns + 1, at + 1];
    /* Whether a block lies inside the outline, and whether it is flat. */
    const plain = (first, wide, high) => {
      const z = heights[first];
      const right = (heights[first + wide] - z) / wide;
      const down = (heights[first + high * columns] - z) / high;
      let level = true;
      for (let j = 0; j <= high; j++) {
        for (let i = 0; i <= wide; i++) {
          const at = first + j * columns + i;
          if (!wood(at)) return [false, false];
          level &&= Math.abs(heights[at] - z - right * i - down * j) < 0.004;
        }
      }
      return [true, level];
    };
    /* A block as few triangles, its border cut as finely as its neighbours: no gaps. */
    const star = ([first, wide, high], [left, below, right, above], of) => {
      const border = [];
      const side = (from, by, count, fine) => {
        for (let k = 0; k < (fine ? count : 1); k++) border.push(of(from + k * by));
      };
      side(first, columns, high, left);
      side(first + high * columns, 1, wide, below);
      side(first + high * columns + wide, -columns, high, right);
      side(first + wide, -1, wide, above);
      const middle = of(first + (high >> 1) * columns + (wide >> 1));
      border.forEach((one, i) => order.push(middle, one, border[(i + 1) % border.length]));
    };
    const single = (first, wide, high, based) => {
      for (let j = 0; j < high; j++) {
        for (let i = 0; i < wide; i++) {
          const corners = quad(first + j * columns + i);
          const count = corners.filter(wood).length;
          if (count === 4) {
            fan(corners.map(top));
            if (!based) fan(corners.map(under));
          } else if (count) {
            clipped(corners);
          }
        }
      }
    };
    const across = Math.ceil((columns - 1) / BLOCK), down = Math.ceil((rows - 1) / BLOCK);
    const extent = (i, j) => [
      j * BLOCK * columns + i * BLOCK,
      Math.min(BLOCK, columns - 1 - i * BLOCK),
      Math.min(BLOCK, rows - 1 - j * BLOCK),
    ];
    const blocks = [];
    for (let j = 0; j < down; j++) {
      for (let i = 0; i < across; i++) blocks.push(plain(...extent(i, j)));
    }
    const within = (i, j) => i >= 0 && j >= 0 && i < across && j < down;
    const whole = (i, j) => within(i, j) && blocks[j * across + i][0];
    const level = (i, j) => within(i, j) && blocks[j * across + i].every(Boolean);
    for (let j = 0; j < down; j++) {
      for (let i = 0; i < across; i++) {
        const among = [[i - 1, j], [i, j + 1], [i + 1, j], [i, j - 1]];
        const finer = (coarse) => among.map((block) => !coarse(...block));
        const block = extent(i, j);
        if (level(i, j)) star(block, finer(level), top);
        else single(...block, whole(i, j));
        if (whole(i, j)) star(block, finer(whole), under);
      }
    }
    return {
      places: new Float32Array(places),
      normals: new Int8Array(normals),
      order: new Uint32Array(order),
    };
  }

  const VERTEX = `#version 300 es
    layout(location = 0) in vec3 place;
    layout(location = 1) in vec4 normal;
    uniform mat4 seen;
    out vec3 at;
    out vec3 faces;
    out float top;
    void main() {
      at = place;
      faces = normal.xyz;
      top = normal.w;
      gl_Position = seen * vec4(place, 1.0);
    }`;

  const FRAGMENT = `#version 300 es
    precision highp float;
    in vec3 at;
    in vec3 faces;
    in float top;
    uniform sampler2D wood, heights, hidden;
    uniform vec2 extent;
    uniform vec3 lamp, sky, eye;
    uniform float thickness;
    out vec4 color;

    vec2 spot(vec2 place) { return vec2(0.5, 0.5) + vec2(place.x, -place.y) / extent; }

    /* What higher wood hides of a wide lamp. */
    float shade() {
      float run = length(lamp.xy);
      if (lamp.z < 0.02 || run < 0.001) return 0.0;
      float steep = lamp.z / run;
      vec2 toward = lamp.xy / run;
      float most = min(-at.z / (0.65 * steep), 60.0);
      float found = 0.0;
      for (int i = 1; i <= 22; i++) {
        float share = float(i) / 22.0;
        float far = 0.25 + most * share * sqrt(share);
        float over = textureLod(heights, spot(at.xy + toward * far), 0.0).r - at.z;
        found = max(found, over / far);
      }
      return smoothstep(0.65 * steep, 1.82 * steep, found);
    }

    vec3 coded(vec3 light) {
      light = clamp(light, 0.0, 1.0);
      vec3 high = 1.055 * pow(light, vec3(1.0 / 2.4)) - 0.055;
      return mix(light * 12.92, high, step(0.0031308, light));
    }

    void main() {
      vec3 n = normalize(faces);
      /* Figure stretched along a wall would be streaks. */
      float steep = clamp(log2(1.0 / max(abs(n.z), 0.06)), 0.0, 4.0);
      vec3 own = texture(wood, spot(at.xy), top > 0.5 ? steep : 1.5).rgb;
      float dark = top > 0.5 && at.z < -0.05 ? shade() : 0.0;
      float walls = top > 0.5 ? (texture(hidden, spot(at.xy)).r * 255.0 - 128.0) / 127.0 : -0.05;
      float lit = clamp(1.325 * dot(n, normalize(lamp)), 0.0, 1.42);
      float open = 0.46 * max(0.45 + 0.55 * dot(n, sky), 0.15) * (1.0 - walls);
      /* What the paper around it sends back. */
      if (walls < 0.0) open += 0.1 * (1.0 - n.z);
      float bright = open + 0.54 * lit * (1.0 - 0.8 * dark);
      vec3 half_way = normalize(normalize(lamp) + normalize(eye - at));
      float gloss = pow(max(dot(n, half_way), 0.0), 32.0) * (1.0 - dark);
      vec3 light = own * (bright + 0.36 * max(walls, 0.0) * own) + 0.05 * gloss;
      color = vec4(coded(light), 1.0);
    }`;

  function program(gl) {
    const made = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      gl.attachShader(made, shader);
    }
    gl.linkProgram(made);
    if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error("no program");
    gl.useProgram(made);
    return made;
  }

  function texture(gl, unit, smallest, fill) {
    gl.activeTexture(gl.TEXTURE0 + unit);
    gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
    fill();
    for (const side of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T]) {
      gl.texParameteri(gl.TEXTURE_2D, side, gl.CLAMP_TO_EDGE);
    }
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, smallest);
  }

  function upload(gl, it, wood) {
    const { columns, rows } = it;
    const [known, covered] = hidden(it);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
    texture(gl, 0, gl.LINEAR_MIPMAP_LINEAR, () => {
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.SRGB8_ALPHA8, gl.RGBA, gl.UNSIGNED_BYTE, wood);
      gl.generateMipmap(gl.TEXTURE_2D);
    });
    texture(gl, 1, gl.LINEAR, () =>
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.R16F, columns, rows, 0, gl.RED, gl.FLOAT, known));
    texture(gl, 2, gl.LINEAR, () =>
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.R8, columns, rows, 0, gl.RED, gl.UNSIGNED_BYTE, covered));
    const { places, normals, order } = mesh(it);
    const attribute = (at, data, size, kind, normalized) => {
      gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
      gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
      gl.enableVertexAttribArray(at);
      gl.vertexAttribPointer(at, size, kind, normalized, 0, 0);
    };
    attribute(0, places, 3, gl.FLOAT, false);
    attribute(1, normals, 4, gl.BYTE, true);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, order, gl.STATIC_DRAW);
    return order.length;
  }

  /* Rows of the turn about the upright, then of the lean about the level axis. */
  function turned([lean, turn]) {
    const [a, b] = [lean, turn].map((degrees) => (degrees * Math.PI) / 180);
    const [sa, ca, sb, cb] = [Math.sin(a), Math.cos(a), Math.sin(b), Math.cos(b)];
    return [[cb, 0, sb], [sa * sb, ca, -sa * cb], [-ca * sb, sa, ca * cb]];
  }
  const times = (rows, v) => rows.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);
  const back = (rows, v) =>
    [0, 1, 2].map((i) => rows[0][i] * v[0] + rows[1][i] * v[1] + rows[2][i] * v[2]);

  /* How far the eye is for the dish to fill the window, face on and as it rests. */
  function distance(half, aspect) {
    let far = 0;
    for (const angles of [[0, 0], REST]) {
      for (let corner = 0; corner < 8; corner++) {
        const signs = [corner & 1, corner & 2, corner & 4].map((bit) => (bit ? 1 : -1));
        const [x, y, z] = times(turned(angles), signs.map((sign, i) => sign * half[i]));
        const need = Math.max(Math.abs(x) / aspect, Math.abs(y)) / (0.93 * OPENING);
        far = Math.max(far, z + need);
      }
    }
    return far;
  }

  function painter(gl, it, count) {
    const made = program(gl);
    const uniform = (name) => gl.getUniformLocation(made, name);
    const [seen, lamp, sky, eye] = ["seen", "lamp", "sky", "eye"].map(uniform);
    const extent = [it.columns * it.step, it.rows * it.step];
    const half = [extent[0] / 2, extent[1] / 2, it.thickness / 2];
    ["wood", "heights", "hidden"].forEach((name, unit) => gl.uniform1i(uniform(name), unit));
    gl.uniform2fv(uniform("extent"), extent);
    gl.enable(gl.DEPTH_TEST);
    const rest = turned(REST);
    return ({ angles, near, shift }) => {
      const { width, height } = gl.canvas;
      const aspect = width / height;
      const rows = turned(angles);
      const far = distance(half, aspect);
      const middle = it.thickness / 2;
      const round = Math.hypot(...half) * 1.05;
      const [from, to] = [Math.max(far - round, far * 0.02), far + round];
      const [sx, sy] = [near / (OPENING * aspect), near / OPENING];
      const depth = -(to + from) / (to - from), offset = (-2 * to * from) / (to - from);
      const matrix = new Float32Array(16);
      for (let i = 0; i < 3; i++) {
        const [x, y, z] = [rows[0][i], rows[1][i], rows[2][i]];
        matrix.set([sx * x - shift[0] * z, sy * y - shift[1] * z, depth * z, -z], 4 * i);
      }
      /* The middle of the board comes so far before the eye. */
      const [x, y, z] = times(rows, [0, 0, middle]);
      const away = z - far;
      matrix.set(
        [sx * x - shift[0] * away, sy * y - shift[1] * away, depth * away + offset, -away], 12);
      gl.viewport(0, 0, width, height);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.uniformMatrix4fv(seen, false, matrix);
      gl.uniform3fv(lamp, back(rows, times(rest, TOWARD)));
      gl.uniform3fv(sky, back(rows, times(rest, [0, 0, 1])));
      const seat = back(rows, [0, 0, far]);
      gl.uniform3fv(eye, [seat[0], seat[1], seat[2] - middle]);
      gl.drawElements(gl.TRIANGLES, count, gl.UNSIGNED_INT, 0);
    };
  }

  const begin = () => ({ angles: [...REST], near: 1, shift: [0, 0] });
  const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

  /* Holds a view within what can be shown. */
  function held(view) {
    view.angles = view.angles.map((angle, i) => clamp(angle, -FARTHEST[i], FARTHEST[i]));
    view.near = clamp(view.near, ...NEAREST);
    view.shift = view.shift.map((part) => clamp(part, -view.near, view.near));
  }

  /* Comes nearer by a factor, to a place of the window from -1 to 1. */
  function nearer(view, by, [x, y]) {
    const before = view.near;
    view.near = clamp(before * by, ...NEAREST);
    const grown = view.near / before;
    view.shift = [x - (x - view.shift[0]) * grown, y - (y - view.shift[1]) * grown];
    if (view.near <= 1) view.shift = [0, 0];
  }

  function keyed(view, event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return null;
    const arrows = { ArrowUp: [1, 0], ArrowDown: [-1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
    const arrow = arrows[event.key];
    if (arrow && event.shiftKey) {
      view.shift = [view.shift[0] - 0.15 * arrow[1], view.shift[1] - 0.15 * arrow[0]];
    } else if (arrow) {
      view.angles = [view.angles[0] - 8 * arrow[0], view.angles[1] + 8 * arrow[1]];
    } else if (event.key === "+" || event.key === "=") {
      nearer(view, 1.2, [0, 0]);
    } else if (event.key === "-" || event.key === "\u2212") {
      nearer(view, 1 / 1.2, [0, 0]);
    } else if (event.key === "Home") {
      return begin();
    } else {
      return null;
    }
    return view;
  }

  /* Listens to hand and keys; `wanted` is the view they ask for, `draw` is told to go there. */
  function listen(canvas, state, draw) {
    const spot = (event) => {
      const { left, top, width, height } = canvas.getBoundingClientRect();
      return [((event.clientX - left) / width) * 2 - 1, 1 - ((event.clientY - top) / height) * 2];
    };
    const change = (view, at_once) => {
      held(view);
      state.wanted = view;
      draw(at_once);
    };
    const fingers = new Map();
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, spot(event));
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const now = spot(event), view = state.wanted;
      const other = [...fingers].find(([id]) => id !== event.pointerId);
      fingers.set(event.pointerId, now);
      if (other) {
        const span = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 0.01;
        const middle = [(now[0] + other[1][0]) / 2, (now[1] + other[1][1]) / 2];
        nearer(view, span(now, other[1]) / span(before, other[1]), middle);
        view.shift = view.shift.map((part, i) => part + (now[i] - before[i]) / 2);
      } else {
        view.angles = [
          view.angles[0] - 90 * (now[1] - before[1]),
          view.angles[1] + 90 * (now[0] - before[0]),
        ];
      }
      change(view, true);
    });
    for (const name of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(name, (event) => fingers.delete(event.pointerId));
    }
    canvas.addEventListener("wheel", (event) => {
      event.preventDefault();
      nearer(state.wanted, Math.exp(-0.0015 * event.deltaY), spot(event));
      change(state.wanted, true);
    }, { passive: false });
    canvas.addEventListener("dblclick", () => change(begin(), false));
    box.addEventListener("keydown", (event) => {
      const view = keyed(state.wanted, event);
      if (!view) return;
      event.preventDefault();
      change(view, false);
      const [lean, turn] = view.angles.map(Math.round);
      said.textContent = said.dataset.words.replace("{lean}", -lean).replace("{turn}", turn);
    });
  }

  function run(canvas, paint) {
    const face_on = { angles: [0, 0], near: 1, shift: [0, 0] };
    const state = { wanted: begin(), shown: still.matches ? begin() : face_on };
    let asked = false, last = 0, coarse = 1;
    const fit = (moving) => {
      const dense = Math.min(devicePixelRatio || 1, 2) / (moving ? coarse : 1);
      const [width, height] = [box.clientWidth, box.clientHeight]
        .map((side) => Math.max(1, Math.round(side * dense)));
      if (canvas.width !== width) canvas.width = width;
      if (canvas.height !== height) canvas.height = height;
    };
    const frame = (now) => {
      asked = false;
      /* Where a frame takes long, fewer points are painted as long as it moves. */
      if (now - last > 90 && coarse < 4) coarse *= 2;
      const share = 1 - Math.exp(-Math.min(now - last, 200) / 140);
      last = now;
      const toward = (from, to) => (Math.abs(to - from) < 0.02 ? to : from + (to - from) * share);
      const { wanted, shown } = state;
      shown.angles = shown.angles.map((angle, i) => toward(angle, wanted.angles[i]));
      shown.shift = shown.shift.map((part, i) =>
        Math.abs(wanted.shift[i] - part) < 0.002
          ? wanted.shift[i]
          : part + (wanted.shift[i] - part) * share);
      const gap = wanted.near - shown.near;
      shown.near = Math.abs(gap) < 0.002 ? wanted.near : shown.near + gap * share;
      const done = shown.near === wanted.near
        && shown.angles.every((angle, i) => angle === wanted.angles[i])
        && shown.shift.every((part, i) => part === wanted.shift[i]);
      fit(!done);
      paint(shown);
      if (!done) ask();
    };
    const ask = () => {
      if (asked) return;
      asked = true;
      requestAnimationFrame(frame);
    };
    const draw = (at_once) => {
      if (at_once || still.matches) state.shown = structuredClone(state.wanted);
      if (!asked) last = performance.now();
      ask();
    };
    listen(canvas, state, draw);
    new ResizeObserver(() => {
      fit(false);
      paint(state.shown);
    }).observe(box);
    draw(false);
  }

  /* From picture to dish, and back where the device gives up. */
  async function start() {
    const canvas = document.createElement("canvas");
    const gl = canvas.getContext("webgl2", { antialias: true, powerPreference: "low-power" });
    if (!gl) return;
    const wood = new Image();
    wood.src = "data:image/jpeg;base64," + document.getElementById("wood").textContent;
    const [it] = await Promise.all([field(), wood.decode()]);
    const count = upload(gl, it, wood);
    const paint = painter(gl, it, count);
    box.append(canvas);
    box.classList.add("turns");
    run(canvas, paint);
    const picture = document.getElementById("picture");
    const hint = document.getElementById("hint");
    const name = { role: "img", tabindex: "0", "aria-describedby": "hint" };
    for (const [key, value] of Object.entries(name)) box.setAttribute(key, value);
    box.setAttribute("aria-label", picture.alt);
    hint.hidden = false;
    canvas.addEventListener("webglcontextlost", () => {
      box.classList.remove("turns");
      for (const key of [...Object.keys(name), "aria-label"]) box.removeAttribute(key);
      hint.hidden = true;
    });
  }

  /* Whatever fails, the picture stays. */
  start().catch(() => box.classList.remove("turns"));
})();
