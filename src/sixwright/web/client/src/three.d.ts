// Of three only what the viewer uses: its own declarations come with six more packages.

declare module "three" {
  export class Vector3 {
    constructor(x?: number, y?: number, z?: number);
    set(x: number, y: number, z: number): this;
  }
  export class Object3D {
    position: Vector3;
    up: Vector3;
    add(...things: Object3D[]): this;
    remove(...things: Object3D[]): this;
    lookAt(x: number, y: number, z: number): void;
  }
  export class Scene extends Object3D {}
  export class OrthographicCamera extends Object3D {
    constructor(left: number, right: number, top: number, bottom: number, near: number, far: number);
    left: number;
    right: number;
    top: number;
    bottom: number;
    updateProjectionMatrix(): void;
  }
  export class BufferAttribute {
    constructor(array: Float32Array | Uint32Array, size: number);
  }
  export class BufferGeometry {
    setAttribute(name: string, attribute: BufferAttribute): this;
    setIndex(attribute: BufferAttribute): this;
    computeVertexNormals(): void;
    dispose(): void;
  }
  export class ShaderMaterial {
    constructor(options: { vertexShader: string; fragmentShader: string; side: number });
  }
  export class Mesh extends Object3D {
    constructor(geometry: BufferGeometry, material: ShaderMaterial);
    geometry: BufferGeometry;
  }
  export const DoubleSide: number;
  export class WebGLRenderer {
    constructor(options: { canvas: HTMLCanvasElement; antialias: boolean; alpha: boolean });
    setPixelRatio(ratio: number): void;
    setSize(width: number, height: number, updateStyle: boolean): void;
    render(scene: Scene, camera: OrthographicCamera): void;
    dispose(): void;
  }
}
