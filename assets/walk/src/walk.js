// The walk page: the model file and the stops of the walk, in one offline page. Lengths come in inches with z up.
import {
  AmbientLight, Box3, BufferAttribute, BufferGeometry, CanvasTexture, Color, DirectionalLight, DoubleSide, EdgesGeometry,
  HemisphereLight, LineBasicMaterial, LineSegments, Mesh, MeshBasicMaterial, PerspectiveCamera, Raycaster, SRGBColorSpace, Scene, Sprite,
  SpriteMaterial, Vector2, Vector3, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";

const METRES = 0.0254;
const TAP_PIXELS = 10;
const byId = (id) => document.getElementById(id);
const point = ([x, y, z]) => new Vector3(x, z, -y).multiplyScalar(METRES);
const walk = JSON.parse(byId("walk").textContent);

const scene = new Scene();
scene.background = new Color(0xe9e4d8);
scene.add(new HemisphereLight(0xffffff, 0x8a7f6c, 1.6), new AmbientLight(0xffffff, 0.5));
const sun = new DirectionalLight(0xffffff, 1.6);
sun.position.set(5, 9, 7);
scene.add(sun);
const camera = new PerspectiveCamera(60, 1, 0.05, 200);

const view = byId("view");
let renderer;
try {
  renderer = new WebGLRenderer({ antialias: true });
} catch {
  renderer = null;
}
if (renderer) {
  start();
} else {
  byId("no-picture").hidden = false;
  listStops();
}

function start() {
  renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
  view.prepend(renderer.domElement);
  renderer.domElement.setAttribute("role", "img");
  renderer.domElement.setAttribute("aria-label", "the house in three dimensions; the same is told in words below");
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.enableDamping = false;

  const pipes = [], wood = [], covers = [], tags = [], bands = [];
  let chosen = null;
  let asked = false;
  const draw = () => {
    if (!asked) {
      asked = true;
      requestAnimationFrame(() => { asked = false; renderer.render(scene, camera); });
    }
  };
  const fit = () => {
    const { clientWidth, clientHeight } = view;
    renderer.setSize(clientWidth, clientHeight, false);
    camera.aspect = clientWidth / Math.max(clientHeight, 1);
    camera.updateProjectionMatrix();
    draw();
  };
  new ResizeObserver(fit).observe(view);
  controls.addEventListener("change", draw);

  const bytes = Uint8Array.from(atob(byId("model").textContent.trim()), (c) => c.charCodeAt(0));
  new GLTFLoader().parse(bytes.buffer, "", ({ scene: house }) => {
    scene.add(house);
    house.traverse((node) => {
      if (!node.isMesh) return;
      const kind = node.userData.kind;
      // One thing is chosen at a time, and the loader shares materials.
      node.material = node.material.clone();
      if (kind === "pipe") {
        pipes.push(node);
        node.renderOrder = 2;
      } else if (kind === "wood" && node.userData.what === "subfloor") {
        // It hides the joists and all below it, and goes on before any board.
        covers.push(node);
        node.renderOrder = 1;
      } else if (kind === "wood") {
        wood.push(node);
        const edges = new LineSegments(new EdgesGeometry(node.geometry, 30), new LineBasicMaterial({ color: 0x4d3a22 }));
        edges.raycast = () => {};
        node.add(edges);
      } else {
        covers.push(node);
        node.renderOrder = 1;
      }
    });
    walk.bands.forEach(addBand);
    walk.findings.forEach(addTag);
    cover();
    go(0, true);
    document.body.dataset.ready = "yes";
  }, (why) => {
    byId("no-picture").hidden = false;
    console.error(why);
  });

  function addBand(band) {
    const [a, b, c, d] = band.corners.map(point);
    // A little before the board, so that the two don't flicker.
    const out = new Vector3().crossVectors(b.clone().sub(a), d.clone().sub(a)).normalize().multiplyScalar(0.004);
    const geometry = new BufferGeometry().setFromPoints([a, b, c, d].map((p) => p.clone().add(out)));
    geometry.setIndex(new BufferAttribute(new Uint16Array([0, 1, 2, 0, 2, 3]), 1));
    const material = new MeshBasicMaterial({ color: 0xd08a1d, transparent: true, opacity: 0.35, side: DoubleSide, depthWrite: false });
    const mesh = new Mesh(geometry, material);
    mesh.renderOrder = 3;
    mesh.userData = { kind: "band", name: band.wall, text: band.text };
    bands.push(mesh);
    scene.add(mesh);
  }

  function addTag(finding, index) {
    if (!finding.at || finding.verdict !== "red tag") return;
    const tag = new Sprite(new SpriteMaterial({ map: paperTag(index + 1), depthTest: false, sizeAttenuation: false }));
    tag.scale.set(0.044, 0.066, 1);
    tag.center.set(0.5, 1);
    tag.position.copy(point(finding.at));
    tag.renderOrder = 9;
    tag.userData = { kind: "tag", index };
    tags.push(tag);
    scene.add(tag);
  }

  function cover() {
    const much = Number(byId("cover").value) / 100;
    const through = byId("through").checked;
    for (const node of covers) {
      node.visible = much > 0;
      node.material.transparent = much < 1 || through;
      node.material.opacity = much;
      node.material.depthWrite = much === 1 && !through;
      node.material.needsUpdate = true;
    }
    for (const node of pipes) {
      // Drawn behind the covers in time, so that they show before a closed wall.
      node.material.transparent = through;
      node.material.needsUpdate = true;
    }
    for (const band of bands) band.visible = much >= 0.5;
    const words = much === 0 ? "open framing" : much === 1 ? "closed walls" : `walls covered ${Math.round(much * 100)} percent`;
    byId("cover").setAttribute("aria-valuetext", words);
    byId("cover-words").textContent = words;
    document.body.dataset.cover = String(much);
    draw();
  }
  byId("cover").addEventListener("input", cover);
  byId("through").addEventListener("change", cover);

  let moving = 0;
  function go(index, atOnce) {
    const stop = walk.stops[index];
    if (!stop) return;
    byId("stops").value = String(index);
    tell(stop);
    hideCard();
    const [eye, look] = [point(stop.eye), point(stop.look)];
    const still = atOnce || matchMedia("(prefers-reduced-motion: reduce)").matches;
    const [fromEye, fromLook, began, mine] = [camera.position.clone(), controls.target.clone(), performance.now(), ++moving];
    const step = (now) => {
      if (mine !== moving) return;
      const part = still ? 1 : Math.min(1, Math.max(0, (now - began) / 700));
      const soft = part * part * (3 - 2 * part);
      camera.position.lerpVectors(fromEye, eye, soft);
      controls.target.lerpVectors(fromLook, look, soft);
      controls.update();
      draw();
      if (part < 1) requestAnimationFrame(step);
    };
    step(began);
  }
  listStops((index) => go(index));
  controls.addEventListener("start", () => { moving += 1; });

  // A tap is a press that goes nowhere.
  let down = null;
  renderer.domElement.addEventListener("pointerdown", (e) => { down = [e.clientX, e.clientY]; });
  renderer.domElement.addEventListener("pointerup", (e) => {
    if (down && Math.hypot(e.clientX - down[0], e.clientY - down[1]) < TAP_PIXELS) tap(e.clientX, e.clientY);
    down = null;
  });

  function tap(x, y) {
    const frame = renderer.domElement.getBoundingClientRect();
    const at = new Vector2(((x - frame.left) / frame.width) * 2 - 1, 1 - ((y - frame.top) / frame.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(at, camera);
    const hit = (things) => ray.intersectObjects(things.filter((t) => t.visible), false)[0]?.object;
    const closed = Number(document.body.dataset.cover) >= 0.5;
    const first = hit(tags)
      ?? (closed && !byId("through").checked ? hit([...bands, ...covers, ...pipes, ...wood]) : hit([...pipes, ...wood, ...bands]));
    choose(first);
  }

  function choose(node) {
    if (chosen?.material?.emissive) chosen.material.emissive.setHex(0);
    chosen = node ?? null;
    if (!node) {
      hideCard();
    } else if (node.userData.kind === "tag") {
      tellFinding(node.userData.index);
    } else {
      if (node.material.emissive) node.material.emissive.setHex(0x6b4a00);
      const { name, what, heights, cut_text: cut, run, size, text } = node.userData;
      const lines = [what, heights?.text, cut && `cut ${cut}`, run && `of ${run}`, text];
      if (size) lines.push(size.map((inches) => `${Math.round(inches * 16) / 16}`).join(" x ") + " in");
      card(name ?? node.name, lines);
    }
    draw();
  }

  function tellFinding(index) {
    const finding = walk.findings[index];
    card(`${finding.verdict} ${index + 1}`, [finding.what, ...finding.sum, finding.source]);
    if (finding.at) {
      const at = point(finding.at);
      const away = camera.position.clone().sub(controls.target).setLength(1.6);
      moving += 1;
      controls.target.copy(at);
      camera.position.copy(at).add(away);
      controls.update();
      draw();
    }
  }
  document.querySelectorAll("[data-finding]").forEach((button) => {
    button.addEventListener("click", () => tellFinding(Number(button.dataset.finding)));
  });

  // Where a part is on the screen: for whoever drives the page.
  window.truefallScreenOf = (name) => {
    const node = pipes.find((p) => p.userData.name === name);
    if (!node) return null;
    const at = new Box3().setFromObject(node).getCenter(new Vector3()).project(camera);
    const frame = renderer.domElement.getBoundingClientRect();
    return { x: frame.left + ((at.x + 1) / 2) * frame.width, y: frame.top + ((1 - at.y) / 2) * frame.height, z: at.z };
  };
}

function card(title, lines) {
  byId("card-title").textContent = title;
  byId("card-lines").replaceChildren(...lines.filter(Boolean).map(paragraph));
  byId("card").hidden = false;
}

function hideCard() {
  byId("card").hidden = true;
}

function paragraph(text) {
  const p = document.createElement("p");
  p.textContent = text;
  return p;
}

function tell(stop) {
  byId("stop-title").textContent = stop.title;
  byId("stop-lines").replaceChildren(...stop.lines.map(paragraph));
}

function listStops(go = (index) => { byId("stops").value = String(index); tell(walk.stops[index]); }) {
  const list = byId("stops");
  const at = () => Number(list.value);
  const last = walk.stops.length - 1;
  list.addEventListener("change", () => go(at()));
  byId("back").addEventListener("click", () => go(Math.max(0, at() - 1)));
  byId("next").addEventListener("click", () => go(Math.min(last, at() + 1)));
  byId("card-close").addEventListener("click", hideCard);
}

// A paper tag on a string, with the number of its finding.
function paperTag(number) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [128, 192];
  const pen = canvas.getContext("2d");
  pen.strokeStyle = "#3a3125";
  pen.lineWidth = 5;
  pen.beginPath();
  pen.moveTo(64, 0);
  pen.lineTo(64, 52);
  pen.stroke();
  pen.fillStyle = "#b3271e";
  pen.beginPath();
  [[14, 74], [40, 40], [88, 40], [114, 74], [114, 188], [14, 188]].forEach(([x, y]) => pen.lineTo(x, y));
  pen.closePath();
  pen.fill();
  pen.stroke();
  pen.fillStyle = "#f6f3ec";
  pen.beginPath();
  pen.arc(64, 58, 9, 0, 7);
  pen.fill();
  pen.font = "bold 76px system-ui, sans-serif";
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.fillText(String(number), 64, 132);
  const texture = new CanvasTexture(canvas);
  texture.colorSpace = SRGBColorSpace;
  return texture;
}
