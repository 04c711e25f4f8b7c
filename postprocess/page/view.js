// SPDX-License-Identifier: MIT
// The turning view of report.html: one cabinet, one mode, moving. Needs the global `twgl` and WebGL 2; where anything
// is missing the page keeps its pictures and says so.
(() => {
  'use strict';
  const byId = (id) => document.getElementById(id);
  const message = byId('view-message');
  const say = (text) => { message.textContent = text; message.hidden = false; };

  const data = JSON.parse(byId('view-data').textContent);
  const canvas = byId('view-canvas');
  const gl = window.twgl && canvas.getContext('webgl2', {antialias: true, alpha: false, preserveDrawingBuffer: true});
  if (!gl) {
    say('This browser shows no WebGL 2, so nothing turns here; the pictures below show the same shapes.');
    return;
  }
  const twgl = window.twgl;

  const numbers = (text, Type) => {
    const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    return new Type(bytes.buffer);
  };

  // Where a point lies on the screen: turned, then a mild perspective. `pixels` is one clip unit in pixels.
  const vertexText = `#version 300 es
    precision highp float;
    in vec3 place; in vec3 shape; in vec3 face; in float loud;
    uniform vec3 middle; uniform mat3 turn; uniform vec2 zoom; uniform float phase, swing;
    out vec3 at; out vec3 square; out float move; out float wide; out float stir;
    void main() {
      vec3 p = turn * (place - middle + swing * phase * shape);
      at = p;
      move = dot(shape, face);
      wide = step(0.5, dot(face, face));
      square = turn * face;
      stir = loud;
      gl_Position = vec4(zoom * p.xy, 0.4 * p.z, 1.0 + 0.28 * p.z);
    }`;
  // Nine bands as in the pictures, blended; a dark line where a face that moves at all stays at rest.
  const fragmentText = `#version 300 es
    precision highp float;
    in vec3 at; in vec3 square; in float move; in float wide; in float stir;
    uniform vec3 bands[9]; uniform float phase; uniform vec4 ink;
    out vec4 colour;
    void main() {
      if (ink.a > 0.0) { colour = vec4(ink.rgb, 1.0); return; }
      vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
      if (wide > 0.5) normal = normalize(mix(square * sign(dot(square, normal)), normal, 0.4));  // softer facets
      float light = 0.74 + 0.26 * abs(dot(normal, normalize(vec3(-0.2, 0.5, -0.84))));
      float t = clamp((move * phase + 1.0) * 4.0, 0.0, 7.999);
      vec3 paint = wide > 0.5 ? mix(bands[int(t)], bands[int(t) + 1], fract(t)) : vec3(0.80, 0.79, 0.76);
      float slope = length(vec2(dFdx(move), dFdy(move)));
      if (wide > 0.5 && stir > 0.04 && slope > 0.0)
        paint = mix(vec3(0.1), paint, smoothstep(0.5, 1.3, abs(move) / slope));
      colour = vec4(paint * light, 1.0);
    }`;
  const program = twgl.createProgramInfo(gl, [vertexText, fragmentText]);
  if (!program) {
    say('The turning view could not start; the pictures below show the same shapes.');
    return;
  }

  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const state = {variant: 0, mode: 0, playing: !still.matches, seen: true, phase: 1, swing: 0.5, yaw: -0.6, pitch: 0.42,
                 near: 1, hidden: new Set()};
  let body = null;  // buffers of the variant that is shown

  function load(variant) {
    const mesh = data.variants[variant].mesh;
    const points = numbers(mesh.points, Uint16Array);
    const board = numbers(mesh.board, Uint8Array);
    const high = [0, 0, 0];
    for (let i = 0; i < points.length; ++i) high[i % 3] = Math.max(high[i % 3], points[i] / 65535);
    body = {
      mesh, board,
      quads: numbers(mesh.quads, Uint16Array), lines: numbers(mesh.lines, Uint16Array),
      middle: high.map((x) => x / 2),
      reach: Math.hypot(...high) / 2,
      arrays: {
        place: {numComponents: 3, data: points, normalize: true},
        face: {numComponents: 3, data: numbers(mesh.normals, Int8Array), normalize: true},
      },
    };
  }

  // Per vertex, how far the face around it moves both ways: a line at rest means something only where it does, not
  // along glued edges, where the sign is chance.
  function loudness(shape) {
    const face = body.arrays.face.data, count = face.length / 3;
    let out = new Float32Array(count), back = new Float32Array(count);
    for (let v = 0; v < count; ++v) {
      let move = 0;
      for (let c = 0; c < 3; ++c) move += shape[3 * v + c] * face[3 * v + c] / 16129;
      out[v] = Math.max(move, 0);
      back[v] = Math.max(-move, 0);
    }
    for (let pass = 0; pass < 2; ++pass) {
      const wide = [out.slice(), back.slice()];
      for (let q = 0; q < body.quads.length; q += 4) {
        const corners = body.quads.subarray(q, q + 4);
        const most = [0, 0];
        for (const v of corners) { most[0] = Math.max(most[0], out[v]); most[1] = Math.max(most[1], back[v]); }
        for (const v of corners) for (let s = 0; s < 2; ++s) wide[s][v] = Math.max(wide[s][v], most[s]);
      }
      [out, back] = wide;
    }
    return out.map((x, v) => Math.min(x, back[v]));
  }

  function fill() {  // buffers for the boards that are shown and the mode that is picked
    const shown = (v) => !state.hidden.has(body.mesh.boards[body.board[v]]);
    const triangles = [], lines = [];
    for (let q = 0; q < body.quads.length; q += 4) {
      const [a, b, c, d] = body.quads.subarray(q, q + 4);
      if (shown(a)) triangles.push(a, b, c, a, c, d);
    }
    for (let l = 0; l < body.lines.length; l += 2)
      if (shown(body.lines[l])) lines.push(body.lines[l], body.lines[l + 1]);
    const shape = {numComponents: 3, data: numbers(body.mesh.shapes[state.mode], Int8Array), normalize: true};
    const arrays = {...body.arrays, shape, loud: {numComponents: 1, data: loudness(shape.data)}};
    const buffers = (list, corners) => twgl.createBufferInfoFromArrays(
      gl, {...arrays, indices: {numComponents: corners, data: Uint16Array.from(list)}});
    body.faces = buffers(triangles, 3);
    body.edges = buffers(lines, 2);
  }

  function draw() {
    if (!body || !body.faces) return;
    twgl.resizeCanvasToDisplaySize(canvas, Math.min(devicePixelRatio || 1, 2));
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.enable(gl.DEPTH_TEST);
    gl.clearColor(0.985, 0.98, 0.965, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const [ca, sa, cb, sb] = [Math.cos(state.yaw), Math.sin(state.yaw), Math.cos(state.pitch), Math.sin(state.pitch)];
    const size = 0.96 * state.near / body.reach, wide = canvas.width / canvas.height;
    const uniforms = {
      // columns: where x (right), y (away) and z (up) of the room go
      turn: [ca, -sa * sb, -sa * cb, sa, ca * sb, ca * cb, 0, cb, -sb],
      middle: body.middle, phase: state.phase, swing: 0.16 * state.swing,
      zoom: wide > 1 ? [size / wide, size] : [size, size * wide],
      bands: data.bands.flat().map((x) => x / 255),
    };
    gl.useProgram(program.program);
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    twgl.setBuffersAndAttributes(gl, program, body.faces);
    twgl.setUniforms(program, {...uniforms, ink: [0, 0, 0, 0]});
    if (body.faces.numElements) twgl.drawBufferInfo(gl, body.faces);
    gl.disable(gl.POLYGON_OFFSET_FILL);
    twgl.setBuffersAndAttributes(gl, program, body.edges);
    twgl.setUniforms(program, {...uniforms, ink: [0.16, 0.18, 0.2, 1]});
    if (body.edges.numElements) twgl.drawBufferInfo(gl, body.edges, gl.LINES);
  }

  let last = 0, waiting = false;
  function step(time) {
    waiting = false;
    const passed = last ? Math.min(time - last, 100) : 0;
    last = time;
    if (state.playing && state.seen) {
      state.turn = (state.turn || 0) + passed / 1600;  // a swing takes 1.6 s
      state.phase = Math.cos(2 * Math.PI * state.turn);
    }
    draw();
    if (state.playing && state.seen) ask(); else last = 0;
  }
  function ask() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(step);
  }

  const variantPick = byId('view-variant'), modePick = byId('view-mode'), play = byId('view-play');
  function option(text, value) {
    const o = document.createElement('option');
    o.textContent = text;
    o.value = value;
    return o;
  }
  function tell() {
    const variant = data.variants[state.variant], mode = variant.modes[state.mode];
    const facts = byId('view-facts');
    facts.replaceChildren();
    for (const [what, value] of [['Variant', variant.name], ['Mode', `${mode.number}: ${mode.label}`],
      ['Frequency', mode.frequency], ['By tolerances', mode.band], ['Loss factor', mode.loss], ['T60', mode.t60],
      ['Net share', mode.net]]) {
      const dt = document.createElement('dt'), dd = document.createElement('dd');
      dt.textContent = what;
      dd.textContent = value;
      facts.append(dt, dd);
    }
    canvas.setAttribute('aria-label', `${variant.name} moving in mode ${mode.number} at ${mode.frequency}`);
  }
  function pickMode(mode) {
    state.mode = mode;
    modePick.value = mode;
    if (!state.playing) state.phase = 1;
    fill();
    tell();
    ask();
  }
  function pickVariant(variant) {
    const before = data.variants[state.variant].modes[state.mode];
    state.variant = variant;
    load(variant);
    modePick.replaceChildren(...data.variants[variant].modes.map(
      (m, i) => option(`${m.number}: ${m.frequency}, ${m.label}`, i)));
    const boards = byId('view-boards');
    boards.replaceChildren(boards.firstElementChild);
    const present = new Set(body.board);
    body.mesh.boards.forEach((name, b) => {
      if (!present.has(b)) return;
      const label = document.createElement('label'), box = document.createElement('input');
      box.type = 'checkbox';
      box.checked = !state.hidden.has(name);
      box.addEventListener('change', () => {
        if (box.checked) state.hidden.delete(name); else state.hidden.add(name);
        fill();
        ask();
      });
      label.append(box, ' ' + name);
      boards.append(label);
    });
    const alike = before ? data.variants[variant].modes.findIndex((m) => m.label === before.label) : 0;
    pickMode(Math.max(alike, 0));
  }
  function setPlaying(on) {
    state.playing = on;
    play.textContent = on ? 'Pause' : 'Play';
    if (!on) state.phase = 1;
    ask();
  }

  data.variants.forEach((v, i) => { if (v.modes.length) variantPick.append(option(v.name, i)); });
  variantPick.addEventListener('change', () => pickVariant(Number(variantPick.value)));
  modePick.addEventListener('change', () => pickMode(Number(modePick.value)));
  play.addEventListener('click', () => setPlaying(!state.playing));
  byId('view-swing').addEventListener('input', (e) => { state.swing = e.target.value / 100; ask(); });
  byId('view-reset').addEventListener('click', () => { state.yaw = -0.6; state.pitch = 0.42; state.near = 1; ask(); });

  const turnBy = (yaw, pitch) => {
    state.yaw += yaw;
    state.pitch = Math.min(1.5, Math.max(-1.5, state.pitch + pitch));
    ask();
  };
  canvas.addEventListener('pointerdown', (e) => {
    canvas.setPointerCapture(e.pointerId);
    canvas.focus({preventScroll: true});
  });
  canvas.addEventListener('pointermove', (e) => {
    if (canvas.hasPointerCapture(e.pointerId)) turnBy(-e.movementX * 0.008, e.movementY * 0.008);
  });
  canvas.addEventListener('keydown', (e) => {
    const turns = {ArrowLeft: [0.1, 0], ArrowRight: [-0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1]};
    if (turns[e.key]) turnBy(...turns[e.key]);
    else if (e.key === '+' || e.key === '=') state.near = Math.min(3, state.near * 1.15);
    else if (e.key === '-') state.near = Math.max(0.5, state.near / 1.15);
    else if (e.key === ' ') setPlaying(!state.playing);
    else return;
    e.preventDefault();
    ask();
  });
  canvas.addEventListener('webglcontextlost',
    () => say('The graphics went away; load the page again to turn the view.'));
  new ResizeObserver(ask).observe(canvas);
  if (window.IntersectionObserver)
    new IntersectionObserver((list) => {
      state.seen = list[list.length - 1].isIntersecting;
      if (state.seen) ask();
    }).observe(canvas);

  byId('viewer').hidden = false;
  message.hidden = true;
  const first = data.variants.findIndex((v) => v.modes.length);
  variantPick.value = first;
  state.variant = first;
  pickVariant(first);
  setPlaying(state.playing);
})();
