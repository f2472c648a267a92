//! The meta model of the protocol, and whether a value is of one of its types.

use std::collections::{BTreeMap, HashMap};
use std::fmt;

use serde::Deserialize;
use serde_json::{Map, Value};

/// A type, as the model writes it.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
pub(crate) enum Type {
    Base { name: String },
    Reference { name: String },
    Array { element: Box<Type> },
    Map { key: Box<Type>, value: Box<Type> },
    And { items: Vec<Type> },
    Or { items: Vec<Type> },
    Tuple { items: Vec<Type> },
    Literal { value: Structure },
    StringLiteral { value: String },
    IntegerLiteral { value: i64 },
    BooleanLiteral { value: bool },
}

/// An object's properties, own and taken over.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Structure {
    #[serde(default)]
    name: String,
    properties: Vec<Property>,
    #[serde(default)]
    extends: Vec<Type>,
    #[serde(default)]
    mixins: Vec<Type>,
}

#[derive(Debug, Clone, Deserialize)]
struct Property {
    name: String,
    #[serde(rename = "type")]
    kind: Type,
    #[serde(default)]
    optional: bool,
}

#[derive(Debug, Deserialize)]
struct Alias {
    name: String,
    #[serde(rename = "type")]
    kind: Type,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
struct Enumeration {
    name: String,
    #[serde(rename = "type")]
    kind: Type,
    values: Vec<Entry>,
    #[serde(default)]
    supports_custom_values: bool,
}

#[derive(Debug, Deserialize)]
struct Entry {
    value: Value,
}

/// A request or notification.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct Method {
    method: String,
    message_direction: String,
    pub(crate) params: Option<Type>,
    pub(crate) result: Option<Type>,
    pub(crate) error_data: Option<Type>,
    pub(crate) registration_options: Option<Type>,
    registration_method: Option<String>,
}

impl Method {
    /// Whether a server may send it.
    pub(crate) fn is_servers(&self) -> bool {
        self.message_direction == "serverToClient" || self.message_direction == "both"
    }
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
struct File {
    requests: Vec<Method>,
    notifications: Vec<Method>,
    structures: Vec<Structure>,
    enumerations: Vec<Enumeration>,
    type_aliases: Vec<Alias>,
}

/// All that the model defines, by name.
#[derive(Debug, Default)]
pub(crate) struct Model {
    requests: HashMap<String, Method>,
    notifications: HashMap<String, Method>,
    structures: HashMap<String, Structure>,
    enumerations: HashMap<String, Enumeration>,
    aliases: HashMap<String, Type>,
}

/// Where a value is not of its type, and why.
#[derive(Debug)]
pub(crate) struct Fault {
    /// The steps to it, the last one first.
    steps: Vec<String>,
    why: String,
    /// How far the value agrees with its type; of several types the one that agrees most was meant.
    agrees: usize,
}

impl Fault {
    /// A value of the right kind with something wrong in it.
    fn inside(why: String) -> Self {
        let (steps, agrees) = (Vec::new(), 1);
        Self { steps, why, agrees }
    }

    /// The same, seen from one step further out.
    pub(crate) fn within(mut self, step: impl fmt::Display) -> Self {
        self.steps.push(step.to_string());
        self.agrees += 1;
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let steps: Vec<&str> = self.steps.iter().rev().map(String::as_str).collect();
        write!(f, "{}: {}", steps.join("."), self.why)
    }
}

impl Model {
    /// The model in one or more files.
    pub(crate) fn read(files: &[&str]) -> Self {
        let mut model = Self::default();
        for file in files {
            let file: File = serde_json::from_str(file).unwrap();
            let by_name = |methods: Vec<Method>| {
                let named = methods.into_iter();
                named.map(|method| (method.method.clone(), method))
            };
            model.requests.extend(by_name(file.requests));
            model.notifications.extend(by_name(file.notifications));
            let structures = file.structures.into_iter();
            let named = structures.map(|structure| (structure.name.clone(), structure));
            model.structures.extend(named);
            let enumerations = file.enumerations.into_iter();
            let named = enumerations.map(|kinds| (kinds.name.clone(), kinds));
            model.enumerations.extend(named);
            let aliases = file.type_aliases.into_iter();
            let named = aliases.map(|alias| (alias.name, alias.kind));
            model.aliases.extend(named);
        }
        model
    }

    pub(crate) fn request(&self, method: &str) -> Option<&Method> {
        self.requests.get(method)
    }

    pub(crate) fn notification(&self, method: &str) -> Option<&Method> {
        self.notifications.get(method)
    }

    /// What a registration's options must be.
    pub(crate) fn registered(&self, method: &str) -> Option<&Method> {
        let named = self.request(method).or_else(|| self.notification(method));
        named.or_else(|| {
            let mut all = self.requests.values().chain(self.notifications.values());
            all.find(|one| one.registration_method.as_deref() == Some(method))
        })
    }

    /// Whether an enumeration lists a value.
    pub(crate) fn lists(&self, enumeration: &str, value: &Value) -> bool {
        let values = &self.enumerations[enumeration].values;
        values.iter().any(|entry| entry.value == *value)
    }

    /// Whether a value is of a type.
    pub(crate) fn check(&self, kind: &Type, value: &Value) -> Result<(), Fault> {
        match kind {
            Type::Base { name } => base(name, value),
            Type::Reference { name } => self.named(name, value),
            Type::Array { element } => {
                let items = value.as_array().ok_or_else(|| not("an array", value))?;
                for (index, item) in items.iter().enumerate() {
                    let outcome = self.check(element, item);
                    outcome.map_err(|fault| fault.within(index))?;
                }
                Ok(())
            }
            Type::Map { key, value: held } => {
                for (name, item) in object(value)? {
                    let outcome = self.check(key, &Value::String(name.clone()));
                    outcome.map_err(|fault| fault.within(format!("the key {name}")))?;
                    let outcome = self.check(held, item);
                    outcome.map_err(|fault| fault.within(name))?;
                }
                Ok(())
            }
            Type::Or { items } => {
                let mut nearest: Option<Fault> = None;
                for item in items {
                    let Err(fault) = self.check(item, value) else {
                        return Ok(());
                    };
                    let before = nearest.as_ref();
                    if before.is_none_or(|before| before.agrees < fault.agrees) {
                        nearest = Some(fault);
                    }
                }
                Err(nearest.unwrap_or_else(|| not("of any type", value)))
            }
            Type::Tuple { items } => {
                let values = value.as_array().ok_or_else(|| not("a tuple", value))?;
                if values.len() != items.len() {
                    let (many, most) = (values.len(), items.len());
                    return Err(Fault::inside(format!("{many} values in a tuple of {most}")));
                }
                for (index, (item, value)) in items.iter().zip(values).enumerate() {
                    let outcome = self.check(item, value);
                    outcome.map_err(|fault| fault.within(index))?;
                }
                Ok(())
            }
            Type::And { .. } | Type::Literal { .. } => self.properties_fit(kind, value),
            Type::StringLiteral { value: only } => literal(only.as_str().into(), value),
            Type::IntegerLiteral { value: only } => literal((*only).into(), value),
            Type::BooleanLiteral { value: only } => literal((*only).into(), value),
        }
    }

    /// Whether a value is of the type of a name.
    fn named(&self, name: &str, value: &Value) -> Result<(), Fault> {
        if let Some(alias) = self.aliases.get(name) {
            return self.check(alias, value);
        }
        if let Some(enumeration) = self.enumerations.get(name) {
            self.check(&enumeration.kind, value)?;
            if !enumeration.supports_custom_values && !self.lists(name, value) {
                return Err(not(&format!("one of {name}"), value));
            }
            return Ok(());
        }
        let reference = Type::Reference {
            name: name.to_owned(),
        };
        self.properties_fit(&reference, value)
    }

    /// Whether an object has the properties it must have, and none but those it may have.
    fn properties_fit(&self, kind: &Type, value: &Value) -> Result<(), Fault> {
        let fields = object(value)?;
        let mut known = BTreeMap::new();
        self.gather(kind, &mut known);
        for (name, property) in &known {
            match fields.get(*name) {
                Some(field) => {
                    let outcome = self.check(&property.kind, field);
                    outcome.map_err(|fault| fault.within(name))?;
                }
                None if property.optional => {}
                None => return Err(Fault::inside(format!("`{name}` is missing"))),
            }
        }
        match fields
            .keys()
            .find(|name| !known.contains_key(name.as_str()))
        {
            Some(name) => Err(Fault::inside(format!("`{name}` is no property here"))),
            None => Ok(()),
        }
    }

    /// The properties of an object's type; what stands nearer goes before what is taken over.
    fn gather<'model>(
        &'model self,
        kind: &'model Type,
        known: &mut BTreeMap<&'model str, &'model Property>,
    ) {
        match kind {
            Type::And { items } => items.iter().for_each(|item| self.gather(item, known)),
            Type::Literal { value } => self.gather_structure(value, known),
            Type::Reference { name } => match (self.structures.get(name), self.aliases.get(name)) {
                (Some(structure), _) => self.gather_structure(structure, known),
                (None, Some(alias)) => self.gather(alias, known),
                (None, None) => panic!("the model names {name} and does not define it"),
            },
            other => panic!("the model takes properties from {other:?}"),
        }
    }

    fn gather_structure<'model>(
        &'model self,
        structure: &'model Structure,
        known: &mut BTreeMap<&'model str, &'model Property>,
    ) {
        for property in &structure.properties {
            known.entry(&property.name).or_insert(property);
        }
        for taken in structure.extends.iter().chain(&structure.mixins) {
            self.gather(taken, known);
        }
    }
}

fn not(what: &str, value: &Value) -> Fault {
    let shown: String = value.to_string().chars().take(80).collect();
    let (steps, why) = (Vec::new(), format!("{shown} is not {what}"));
    Fault {
        steps,
        why,
        agrees: 0,
    }
}

fn object(value: &Value) -> Result<&Map<String, Value>, Fault> {
    value.as_object().ok_or_else(|| not("an object", value))
}

fn literal(only: Value, value: &Value) -> Result<(), Fault> {
    if *value == only {
        Ok(())
    } else {
        Err(not(&only.to_string(), value))
    }
}

fn base(name: &str, value: &Value) -> Result<(), Fault> {
    let within = |least: i64, most: i64| {
        let number = value.as_i64();
        number.is_some_and(|number| (least..=most).contains(&number))
    };
    let fits = match name {
        "URI" | "DocumentUri" => value.as_str().is_some_and(has_scheme),
        "string" | "RegExp" => value.is_string(),
        "integer" => within(i64::from(i32::MIN), i64::from(i32::MAX)),
        "uinteger" => within(0, i64::from(i32::MAX)),
        "decimal" => value.is_number(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("the model has a base type {other}"),
    };
    if fits { Ok(()) } else { Err(not(name, value)) }
}

/// Whether an address begins with a scheme (RFC 3986, section 3.1).
fn has_scheme(address: &str) -> bool {
    address.split_once(':').is_some_and(|(scheme, _)| {
        scheme.starts_with(|first: char| first.is_ascii_alphabetic())
            && scheme
                .chars()
                .all(|sign| sign.is_ascii_alphanumeric() || "+-.".contains(sign))
    })
}
