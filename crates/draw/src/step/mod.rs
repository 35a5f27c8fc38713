//! The folded plate as a STEP solid: one closed body of planes and cylinders (and, where a bend's side slants, of a
//! spline through two helices), after ISO 10303-21 and the application protocol 214.
//!
//! The file is written by hand: a plate has few kinds of face, and they are known exactly, so nothing need be guessed
//! back from a mesh. Corners and edges are shared: every edge curve is used by exactly two faces, once each way.

mod body;
mod entities;
mod helix;
mod shapes;
#[cfg(test)]
mod tests;

use nalgebra::Isometry3;
use sheet::Part;

use crate::solid::{FoldedPlate, SolidError};
use body::Body;
use entities::{Entities, Id, quoted};

/// Points nearer than this are one point to whoever reads the file, mm: well over the spline's error and over rounding
/// at a kilometre, well under any feature.
const SAME_POINT_MM: &str = "1.E-06";

/// The folded plate as a STEP text (AUTOMOTIVE_DESIGN, lengths in mm), called `name` and placed by `pose` (the identity
/// leaves it in the axes of the folded part). The same part gives the same text: the time stamp is fixed.
///
/// # Errors
/// [`SolidError`] when the part's panels and bends do not fit together.
pub fn step_text(part: &Part, name: &str, pose: &Isometry3<f64>) -> Result<String, SolidError> {
    let plate = FoldedPlate::of(part)?.moved(pose);
    let names: Vec<&str> = part.bends.iter().map(|bend| bend.name.as_str()).collect();
    let mut body = Body::new(&plate, &names);
    let shell = body.closed_shell()?;
    let mut entities = body.into_entities();
    let solid = entities.add(format!("MANIFOLD_SOLID_BREP({},{shell})", quoted(name)));
    product(&mut entities, name, solid);
    Ok(format!(
        "ISO-10303-21;\nHEADER;\n\
         FILE_DESCRIPTION(('folded plate, lengths in mm'),'2;1');\n\
         FILE_NAME({},'1970-01-01T00:00:00',(''),(''),'','','');\n\
         FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));\n\
         ENDSEC;\nDATA;\n{}ENDSEC;\nEND-ISO-10303-21;\n",
        quoted(name),
        entities.text(),
    ))
}

/// The product that the solid is the shape of, and the units of its numbers.
fn product(entities: &mut Entities, name: &str, solid: Id) {
    let name = quoted(name);
    let application = entities
        .add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')".to_owned());
    entities.add(format!(
        "APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,{application})"
    ));
    let context = entities.add(format!("PRODUCT_CONTEXT('',{application},'mechanical')"));
    let product = entities.add(format!("PRODUCT({name},{name},'',({context}))"));
    entities.add(format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,({product}))"));
    let formation = entities.add(format!("PRODUCT_DEFINITION_FORMATION('','',{product})"));
    let stage = entities.add(format!(
        "PRODUCT_DEFINITION_CONTEXT('part definition',{application},'design')"
    ));
    let definition = entities.add(format!("PRODUCT_DEFINITION('design','',{formation},{stage})"));
    let shape = entities.add(format!("PRODUCT_DEFINITION_SHAPE('','',{definition})"));

    let length = entities.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))".to_owned());
    let angle = entities.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))".to_owned());
    let solid_angle = entities.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())".to_owned());
    let accuracy = entities.add(format!(
        "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({SAME_POINT_MM}),{length},'distance_accuracy_value','')"
    ));
    let units = entities.add(format!(
        "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({accuracy}))\
         GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid_angle}))REPRESENTATION_CONTEXT('',''))"
    ));
    let origin = entities.placement(
        nalgebra::Point3::origin(),
        nalgebra::Vector3::z(),
        nalgebra::Vector3::x(),
    );
    let representation = entities.add(format!(
        "ADVANCED_BREP_SHAPE_REPRESENTATION('',({origin},{solid}),{units})"
    ));
    entities.add(format!(
        "SHAPE_DEFINITION_REPRESENTATION({shape},{representation})"
    ));
}
