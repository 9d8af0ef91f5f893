//! The board, what is left of it and what comes off as solids for other programs: STL and glTF, in millimetres.

use super::scene::{Mesh, Scene, Sheet, solid};

/// A closed solid with a name. Millimetres: x from end A, y from the near edge, z over the finished down face.
#[derive(Debug, Clone, PartialEq)]
pub struct Solid {
    /// A word or two, joined by hyphens.
    pub name: &'static str,
    /// Its surface, facing outwards.
    pub mesh: Mesh,
}

/// The board, the finished piece, and what comes off either face, of a scene drawn to scale.
#[must_use]
pub fn solids(scene: &Scene) -> Vec<Solid> {
    let [up, down] = [&scene.faces[0].sheet, &scene.faces[1].sheet];
    let top = scene.thickness.max(0.0);
    // Where a plane lies in the air the finished face is the rough one.
    let finished_up = level(up, |z| z.min(top));
    let finished_down = level(down, |z| z.max(0.0));
    let shift = |mesh: Mesh| Mesh {
        points: mesh
            .points
            .iter()
            .map(|p| [p[0] + scene.size[0] / 2.0, p[1] + scene.size[1] / 2.0, p[2]])
            .collect(),
        triangles: mesh.triangles,
    };
    [
        ("board", solid(up, down)),
        ("finished", solid(&finished_up, &finished_down)),
        ("off-up-face", solid(up, &finished_up)),
        ("off-down-face", solid(&finished_down, down)),
    ]
    .into_iter()
    .map(|(name, mesh)| Solid {
        name,
        mesh: shift(mesh),
    })
    .collect()
}

fn level(sheet: &Sheet, height: impl Fn(f64) -> f64) -> Sheet {
    Sheet {
        points: sheet
            .points
            .iter()
            .map(|p| [p[0], p[1], height(p[2])])
            .collect(),
        ..sheet.clone()
    }
}

/// One solid as a binary STL file (3D Systems, *StereoLithography Interface Specification*, 1989): a header of 80 bytes,
/// the number of triangles, and each with its normal, left to the reader to reckon as that format allows, and its corners.
#[must_use]
pub fn stl(solid: &Solid) -> Vec<u8> {
    let mut file = format!("{:<80}", format!("{}, millimetres", solid.name)).into_bytes();
    let mesh = &solid.mesh;
    file.extend((mesh.triangles.len() as u32).to_le_bytes());
    for triangle in &mesh.triangles {
        file.extend([0; 12]);
        for corner in triangle {
            file.extend(single(mesh.points[*corner as usize]));
        }
        file.extend([0; 2]);
    }
    file
}

/// All solids as a binary glTF file (Khronos Group, *glTF 2.0 Specification*, 2021). Its points are in millimetres, z up;
/// since that format counts metres, y up, its one root turns and scales them.
#[must_use]
pub fn gltf(solids: &[Solid]) -> Vec<u8> {
    let mut data: Vec<u8> = Vec::new();
    let (mut views, mut accessors, mut meshes, mut nodes) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for (k, Solid { name, mesh }) in solids.iter().enumerate() {
        let start = data.len();
        mesh.points.iter().for_each(|p| data.extend(single(*p)));
        views.push(view(start, data.len(), 34962));
        let start = data.len();
        for [a, b, c] in &mesh.triangles {
            data.extend([a, b, c].iter().flat_map(|corner| corner.to_le_bytes()));
        }
        views.push(view(start, data.len(), 34963));
        let [low, high] = bounds(mesh);
        accessors.push(format!(
            r#"{{"bufferView":{},"componentType":5126,"count":{},"type":"VEC3","min":{low:?},"max":{high:?}}}"#,
            2 * k,
            mesh.points.len()
        ));
        accessors.push(format!(
            r#"{{"bufferView":{},"componentType":5125,"count":{},"type":"SCALAR"}}"#,
            2 * k + 1,
            3 * mesh.triangles.len()
        ));
        meshes.push(format!(
            r#"{{"name":"{name}","primitives":[{{"attributes":{{"POSITION":{}}},"indices":{}}}]}}"#,
            2 * k,
            2 * k + 1
        ));
        nodes.push(format!(r#"{{"name":"{name}","mesh":{k}}}"#));
    }
    let children: Vec<usize> = (0..nodes.len()).collect();
    nodes.push(format!(
        r#"{{"name":"millimetres","children":{children:?},"matrix":[0.001,0,0,0,0,0,-0.001,0,0,0.001,0,0,0,0,0,1]}}"#
    ));
    let mut json = format!(
        r#"{{"asset":{{"version":"2.0","generator":"outwind"}},"scene":0,"scenes":[{{"nodes":[{}]}}],"nodes":[{}],"meshes":[{}],"accessors":[{}],"bufferViews":[{}],"buffers":[{{"byteLength":{}}}]}}"#,
        children.len(),
        nodes.join(","),
        meshes.join(","),
        accessors.join(","),
        views.join(","),
        data.len()
    )
    .into_bytes();
    json.resize(json.len().next_multiple_of(4), b' ');
    let mut file = b"glTF".to_vec();
    let whole = 12 + 8 + json.len() + 8 + data.len();
    file.extend([2, whole as u32].map(u32::to_le_bytes).concat());
    file.extend((json.len() as u32).to_le_bytes());
    file.extend(b"JSON");
    file.extend(json);
    file.extend((data.len() as u32).to_le_bytes());
    file.extend(b"BIN\0");
    file.extend(data);
    file
}

fn view(from: usize, to: usize, target: u32) -> String {
    format!(
        r#"{{"buffer":0,"byteOffset":{from},"byteLength":{},"target":{target}}}"#,
        to - from
    )
}

/// The least and the largest coordinates, as they are written.
fn bounds(mesh: &Mesh) -> [[f32; 3]; 2] {
    let fold = |start: f32, pick: fn(f32, f32) -> f32| {
        mesh.points.iter().fold([start; 3], |so_far, p| {
            [0, 1, 2].map(|k| pick(so_far[k], p[k] as f32))
        })
    };
    [
        fold(f32::INFINITY, f32::min),
        fold(f32::NEG_INFINITY, f32::max),
    ]
}

fn single(point: [f64; 3]) -> Vec<u8> {
    point
        .iter()
        .flat_map(|c| (*c as f32).to_le_bytes())
        .collect()
}
