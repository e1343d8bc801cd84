// The piece to be turned round: WebGL 2 and nothing else. Data stand beside each view as JSON; without WebGL the drawing stays.
"use strict";
(() => {
  const VERTEX = `#version 300 es
    in vec3 corner; uniform mat4 seen, pose; out vec3 at;
    void main() { vec4 world = pose * vec4(corner, 1.0); at = world.xyz; gl_Position = seen * world; }`;
  // The normal of a flat face is that of its triangle on the screen: no normals need be kept.
  const FRAGMENT = `#version 300 es
    precision highp float; in vec3 at; uniform vec3 colour, toward; uniform float lit; out vec4 shade;
    void main() {
      vec3 normal = normalize(cross(dFdx(at), dFdy(at)));
      float light = 0.55 + 0.3 * abs(dot(normal, toward)) + 0.15 * normal.z * sign(dot(normal, toward));
      shade = vec4(colour * mix(1.0, light, lit), 1.0);
    }`;
  const INK = [0.16, 0.13, 0.1], NEW = [0.93, 0.66, 0.25], CHOSEN = [0.36, 0.62, 0.9], THROUGH = [0.04, 0.35, 0.79];
  const FIELD = Math.PI / 7, USUAL = { turn: 0.6, rise: 0.42, far: 1.0 };

  const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
  const sub = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const unit = (a) => { const long = Math.hypot(...a) || 1; return a.map((x) => x / long); };
  // Poses are three columns of a turn and one of a shift, as in the data.
  const place = (p, v) => [0, 1, 2].map((i) => p[i] * v[0] + p[3 + i] * v[1] + p[6 + i] * v[2] + p[9 + i]);

  function shapeOf(own) {
    const Indices = own.wide ? Uint32Array : Uint16Array;
    return {
      corners: new Float32Array(bytes(own.corners)),
      triangles: new Indices(bytes(own.triangles)),
      lines: new Indices(bytes(own.lines)),
      wide: own.wide,
    };
  }

  // A sphere round all parts: nearest and farthest planes and the distance of the eye follow from it.
  function sphere(parts, shapes) {
    const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    const each = (look) => {
      for (const part of parts) {
        const { corners } = shapes[part.shape];
        for (let i = 0; i < corners.length; i += 3) look(place(part.pose, corners.subarray(i, i + 3)));
      }
    };
    each((p) => p.forEach((x, i) => { low[i] = Math.min(low[i], x); high[i] = Math.max(high[i], x); }));
    const middle = low.map((x, i) => (x + high[i]) / 2);
    let radius = 1;
    each((p) => { radius = Math.max(radius, Math.hypot(...sub(p, middle))); });
    return { middle, radius };
  }

  function program(gl) {
    const made = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
      const shader = gl.createShader(kind);
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      gl.attachShader(made, shader);
    }
    gl.bindAttribLocation(made, 0, "corner");
    gl.linkProgram(made);
    return gl.getProgramParameter(made, gl.LINK_STATUS) ? made : null;
  }

  function load(gl, shape) {
    const array = gl.createVertexArray();
    gl.bindVertexArray(array);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, shape.corners, gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    const list = (indices) => {
      const buffer = gl.createBuffer();
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, indices, gl.STATIC_DRAW);
      return buffer;
    };
    return { array, faces: list(shape.triangles), edges: list(shape.lines), kind: shape.wide ? gl.UNSIGNED_INT : gl.UNSIGNED_SHORT };
  }

  function show(root) {
    const live = root.querySelector(".live"), canvas = live.querySelector("canvas");
    const gl = canvas.getContext("webgl2", { antialias: true });
    const made = gl && program(gl);
    if (!made) return;
    const data = JSON.parse(root.querySelector('script[type="application/json"]').textContent);
    const shapes = data.shapes.map(shapeOf), loaded = shapes.map((own) => load(gl, own));
    const { middle, radius } = sphere(data.parts, shapes);
    const where = (name) => gl.getUniformLocation(made, name);
    const at = { seen: where("seen"), pose: where("pose"), colour: where("colour"), toward: where("toward"), lit: where("lit") };
    const slider = live.querySelector("input[type=range]"), output = live.querySelector("output");
    const choice = live.querySelector("select"), told = live.querySelector(".told");
    const eye = { ...USUAL };
    let step = data.steps.length, waiting = false;

    const stands = (part) => part.from <= step;
    const chosen = () => (choice.value === "" ? -1 : Number(choice.value));

    // Right, up and toward the eye; where the eye is.
    function camera() {
      const [ct, st, cr, sr] = [Math.cos(eye.turn), Math.sin(eye.turn), Math.cos(eye.rise), Math.sin(eye.rise)];
      const toward = [st * cr, -ct * cr, sr], right = [ct, st, 0], up = cross(toward, right);
      const aspect = canvas.width / canvas.height || 1;
      const wide = Math.tan(FIELD / 2) * Math.min(1, aspect);
      const far = (radius / Math.sin(Math.atan(wide))) * eye.far;
      return { toward, right, up, far, aspect, from: middle.map((x, i) => x + toward[i] * far) };
    }

    function matrix(c) {
      const near = Math.max(c.far - 1.05 * radius, radius / 100), far = c.far + 1.05 * radius;
      const f = 1 / Math.tan(FIELD / 2), a = (far + near) / (near - far), b = (2 * far * near) / (near - far);
      const view = [c.right, c.up, c.toward].map((axis) => [...axis, -dot(axis, c.from)]);
      const rows = [view[0].map((x) => (x * f) / c.aspect), view[1].map((x) => x * f),
        view[2].map((x, i) => x * a + (i === 3 ? b : 0)), view[2].map((x) => -x)];
      return Float32Array.from({ length: 16 }, (_, i) => rows[i % 4][i >> 2]);
    }

    function draw() {
      waiting = false;
      const scale = window.devicePixelRatio || 1;
      const size = [canvas.clientWidth, canvas.clientHeight].map((x) => Math.max(1, Math.round(x * scale)));
      if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
      const c = camera();
      gl.viewport(0, 0, ...size);
      gl.clearColor(0.957, 0.945, 0.918, 1);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.enable(gl.DEPTH_TEST);
      gl.depthFunc(gl.LEQUAL);
      gl.useProgram(made);
      gl.uniformMatrix4fv(at.seen, false, matrix(c));
      gl.uniform3fv(at.toward, c.toward);
      data.parts.forEach((part, index) => { if (stands(part)) drawPart(part, index); });
      const own = data.parts[chosen()];
      // What is chosen shows through whatever stands before it.
      if (own && stands(own)) {
        gl.disable(gl.DEPTH_TEST);
        gl.uniform3fv(at.colour, THROUGH);
        drawLines(own);
      }
    }

    function drawLines(part) {
      const own = loaded[part.shape], p = part.pose;
      gl.bindVertexArray(own.array);
      gl.uniformMatrix4fv(at.pose, false, [p[0], p[1], p[2], 0, p[3], p[4], p[5], 0, p[6], p[7], p[8], 0, p[9], p[10], p[11], 1]);
      gl.uniform1f(at.lit, 0);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, own.edges);
      gl.drawElements(gl.LINES, shapes[part.shape].lines.length, own.kind, 0);
    }

    function drawPart(part, index) {
      const own = loaded[part.shape], shape = shapes[part.shape], p = part.pose;
      gl.bindVertexArray(own.array);
      gl.uniformMatrix4fv(at.pose, false, [p[0], p[1], p[2], 0, p[3], p[4], p[5], 0, p[6], p[7], p[8], 0, p[9], p[10], p[11], 1]);
      const isNew = part.from === step && step < data.steps.length;
      gl.uniform3fv(at.colour, index === chosen() ? CHOSEN : isNew ? NEW : part.tint.map((x) => x / 255));
      gl.uniform1f(at.lit, 1);
      // Faces stand back from their own edges, and only as much as the depth of a pixel asks for.
      gl.enable(gl.POLYGON_OFFSET_FILL);
      gl.polygonOffset(1, 1);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, own.faces);
      gl.drawElements(gl.TRIANGLES, shape.triangles.length, own.kind, 0);
      gl.disable(gl.POLYGON_OFFSET_FILL);
      gl.uniform3fv(at.colour, INK);
      drawLines(part);
    }

    const again = () => { if (!waiting) { waiting = true; requestAnimationFrame(draw); } };

    // The part under a point of the canvas: the nearest triangle that a ray from the eye meets.
    function under(x, y) {
      const c = camera(), box = canvas.getBoundingClientRect(), t = Math.tan(FIELD / 2);
      const across = ((x - box.left) / box.width * 2 - 1) * t * c.aspect, rise = (1 - (y - box.top) / box.height * 2) * t;
      const ray = unit([0, 1, 2].map((i) => c.right[i] * across + c.up[i] * rise - c.toward[i]));
      let best = Infinity, found = -1;
      data.parts.forEach((part, index) => {
        if (!stands(part)) return;
        const { corners, triangles } = shapes[part.shape];
        const world = (i) => place(part.pose, corners.subarray(3 * i, 3 * i + 3));
        for (let i = 0; i < triangles.length; i += 3) {
          const a = world(triangles[i]), ab = sub(world(triangles[i + 1]), a), ac = sub(world(triangles[i + 2]), a);
          const n = cross(ray, ac), slope = dot(ab, n);
          if (Math.abs(slope) < 1e-9) continue;
          const s = sub(c.from, a), u = dot(s, n) / slope, q = cross(s, ab), v = dot(ray, q) / slope, far = dot(ac, q) / slope;
          if (u >= 0 && v >= 0 && u + v <= 1 && far > 0 && far < best) { best = far; found = index; }
        }
      });
      return found;
    }

    function tell() {
      const part = data.parts[chosen()];
      const mark = part && part.mark ? `, mark ${part.mark}` : "";
      told.textContent = part ? `${part.name}${mark}${stands(part) ? "" : `: comes in step ${part.from}`}` : "";
      again();
    }

    function stepTo(number) {
      step = number;
      if (output) output.textContent = step === 0 ? "Nothing stands yet." : `${step} of ${data.steps.length}: ${data.steps[step - 1]}`;
      tell();
    }

    function turn(across, rise) {
      eye.turn -= across;
      eye.rise = Math.max(-1.5, Math.min(1.5, eye.rise + rise));
      again();
    }

    function nearer(times) {
      eye.far = Math.max(0.15, Math.min(3, eye.far * times));
      again();
    }

    const home = () => { Object.assign(eye, USUAL); again(); };
    const keys = {
      ArrowLeft: () => turn(-0.12, 0), ArrowRight: () => turn(0.12, 0), ArrowUp: () => turn(0, 0.12), ArrowDown: () => turn(0, -0.12),
      "+": () => nearer(0.88), "=": () => nearer(0.88), "-": () => nearer(1.14), Home: home,
    };
    canvas.addEventListener("keydown", (event) => {
      const does = !event.ctrlKey && !event.metaKey && keys[event.key];
      if (does) { does(); event.preventDefault(); }
    });
    // The page goes on scrolling until the view has been chosen.
    canvas.addEventListener("wheel", (event) => {
      if (document.activeElement !== canvas) return;
      nearer(event.deltaY < 0 ? 0.92 : 1.09);
      event.preventDefault();
    }, { passive: false });
    const held = new Map();
    let moved = 0;
    const spread = () => { const [a, b] = [...held.values()]; return Math.hypot(a.x - b.x, a.y - b.y) || 1; };
    canvas.addEventListener("pointerdown", (event) => {
      if (held.size === 0) moved = 0;
      held.set(event.pointerId, { x: event.clientX, y: event.clientY });
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      const last = held.get(event.pointerId);
      if (!last) return;
      const before = held.size === 2 ? spread() : 0, dx = event.clientX - last.x, dy = event.clientY - last.y;
      held.set(event.pointerId, { x: event.clientX, y: event.clientY });
      moved += Math.abs(dx) + Math.abs(dy);
      if (held.size === 2) nearer(before / spread());
      else turn(dx * 0.008, dy * 0.008);
    });
    canvas.addEventListener("pointerup", (event) => {
      if (held.delete(event.pointerId) && moved < 6) {
        const found = under(event.clientX, event.clientY);
        choice.value = found < 0 ? "" : String(found);
        tell();
      }
    });
    canvas.addEventListener("pointercancel", (event) => held.delete(event.pointerId));
    choice.addEventListener("change", tell);
    if (slider) slider.addEventListener("input", () => stepTo(Number(slider.value)));
    const does = { nearer: keys["+"], farther: keys["-"], home };
    live.querySelectorAll("button").forEach((button) => button.addEventListener("click", does[button.dataset.do]));
    canvas.addEventListener("webglcontextlost", () => { live.hidden = true; root.classList.remove("turns"); });
    new ResizeObserver(again).observe(canvas);
    live.hidden = false;
    // The drawing stays for paper.
    root.classList.add("turns");
    stepTo(data.steps.length);
  }

  document.querySelectorAll(".model").forEach(show);
})();
