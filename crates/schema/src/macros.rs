//! The two macros that declare the types of a project file.

/// Declares a record type: named fields with documentation, default and rules.
///
/// A field is `pub name: Type`, then possibly `= default` as it would be written in a file, then
/// possibly `where` and rules: `positive`, `at_least_zero`, `fraction`, `at_least(1.0)`, `at_most(..)`, `above(..)`,
/// `below(..)` (SI), `rising`, `falling`, `not_empty`, `refers("component")`.
/// Fields of type `Option` and `List` may be left out.
///
/// ```
/// use schema::prelude::*;
/// record! {
///     /// A hose run.
///     pub struct HoseRun {
///         /// Name.
///         pub name: Name,
///         /// Length along the centre line.
///         pub length: Input<Length> where positive,
///         /// Wall roughness.
///         pub roughness: Input<Length> = "1.5 um" where at_least_zero,
///         /// Remark.
///         pub note: Option<String>,
///     }
/// }
/// let node = Node::record("HoseRun", vec![("name", Node::text("long hose")), ("length", Node::text("2 m"))]);
/// let hose = decode::<HoseRun>(&node).value.expect("complete");
/// assert_eq!(hose.length.si(), 2.0);
/// assert!(!hose.roughness.stated());
/// assert_eq!(hose.encode(), node);
/// ```
#[macro_export]
macro_rules! record {
    (
        $(#[doc = $doc:literal])*
        $(#[derive($($derive:ident),* $(,)?)])?
        pub struct $Name:ident {
            $(
                $(#[doc = $field_doc:literal])*
                pub $field:ident : $type:ty
                    $(= $default:tt)?
                    $(where $($rule:ident $(($argument:literal))?)+)?
            ),* $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq $($(, $derive)*)?)]
        pub struct $Name {
            $( $(#[doc = $field_doc])* pub $field: $type, )*
        }

        impl $crate::Record for $Name {
            fn schema() -> &'static $crate::RecordSchema {
                static SCHEMA: $crate::RecordSchema = $crate::RecordSchema {
                    name: stringify!($Name),
                    doc: concat!($($doc, "\n"),*),
                    fields: &[
                        $($crate::FieldSchema {
                            name: stringify!($field),
                            doc: concat!($($field_doc, "\n"),*),
                            shape: <$type as $crate::Decode>::shape,
                            default: $crate::__first!($(Some(stringify!($default)),)? None,),
                            rules: &[$($($crate::__rule!($rule $($argument)?)),+)?],
                        },)*
                    ],
                };
                &SCHEMA
            }
        }

        impl $Name {
            fn decode_record(
                node: &$crate::Node,
                any_tag: bool,
                decoder: &mut $crate::Decoder,
            ) -> Option<Self> {
                let schema = <Self as $crate::Record>::schema();
                let mut fields = $crate::Fields::open(node, schema, any_tag, decoder)?;
                $( let $field = fields.take::<$type>(decoder); )*
                Some(Self { $( $field: $field?, )* })
            }

            fn encode_record(&self, tag: &str) -> $crate::Node {
                let mut writer = $crate::FieldWriter::new(<Self as $crate::Record>::schema());
                $( writer.put(&self.$field); )*
                writer.finish(tag)
            }
        }

        impl $crate::Decode for $Name {
            fn shape() -> $crate::Shape {
                $crate::Shape::Record(<Self as $crate::Record>::schema())
            }

            fn decode(node: &$crate::Node, decoder: &mut $crate::Decoder) -> Option<Self> {
                Self::decode_record(node, false, decoder)
            }

            fn encode(&self) -> $crate::Node {
                self.encode_record(stringify!($Name))
            }

            fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn $crate::Movable)) {
                $( $crate::Decode::visit_numbers(&mut self.$field, visit); )*
            }

            fn decode_variant(
                node: &$crate::Node,
                decoder: &mut $crate::Decoder,
            ) -> Option<Self> {
                Self::decode_record(node, true, decoder)
            }

            fn encode_variant(&self, tag: &str) -> $crate::Node {
                self.encode_record(tag)
            }
        }
    };
}

/// The first of several expressions.
#[doc(hidden)]
#[macro_export]
macro_rules! __first {
    ($first:expr, $($rest:tt)*) => {
        $first
    };
}

/// Declares a choice type: one of several variants, each alone or with one value.
///
/// A variant that holds a record has the fields of the record directly in its brackets.
/// `pub enum Film plain Fixed { .. }` lets a value without tag stand for `Fixed(value)`. Behind its content a variant may have `where` and
/// rules as a field of [`record!`] has; they come on top of those of the field that the choice stands in.
///
/// ```
/// use schema::prelude::*;
/// choice! {
///     /// How much heat passes.
///     pub enum Passage plain Known {
///         /// Known conductance.
///         Known(Input<ThermalConductance>),
///         /// Nothing passes.
///         Closed,
///     }
/// }
/// let known = decode::<Passage>(&Node::text("12 W/K")).value.expect("a conductance");
/// assert!(matches!(known, Passage::Known(value) if value.si() == 12.0));
/// assert_eq!(decode::<Passage>(&Node::word("Closed")).value, Some(Passage::Closed));
/// ```
#[macro_export]
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        $(#[derive($($derive:ident),* $(,)?)])?
        pub enum $Name:ident $(plain $plain:ident)? {
            $(
                $(#[doc = $variant_doc:literal])*
                $Variant:ident $(($content:ty))? $(where $($rule:ident $(($argument:literal))?)+)?
            ),* $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq $($(, $derive)*)?)]
        #[allow(clippy::large_enum_variant, reason = "few of them, read far more often than moved")]
        pub enum $Name {
            $( $(#[doc = $variant_doc])* $Variant $(($content))?, )*
        }

        impl $crate::Choice for $Name {
            fn schema() -> &'static $crate::ChoiceSchema {
                static SCHEMA: $crate::ChoiceSchema = $crate::ChoiceSchema {
                    name: stringify!($Name),
                    doc: concat!($($doc, "\n"),*),
                    plain: $crate::__first!($(Some(stringify!($plain)),)? None,),
                    variants: &[
                        $($crate::VariantSchema {
                            name: stringify!($Variant),
                            doc: concat!($($variant_doc, "\n"),*),
                            content: $crate::__first!(
                                $(Some(<$content as $crate::Decode>::shape),)? None,
                            ),
                            rules: &[$($($crate::__rule!($rule $($argument)?)),+)?],
                        },)*
                    ],
                };
                &SCHEMA
            }

            fn variant(&self) -> &'static str {
                match self {
                    $( Self::$Variant { .. } => stringify!($Variant), )*
                }
            }
        }

        impl $crate::Decode for $Name {
            fn shape() -> $crate::Shape {
                $crate::Shape::Choice(<Self as $crate::Choice>::schema())
            }

            fn decode(node: &$crate::Node, decoder: &mut $crate::Decoder) -> Option<Self> {
                let schema = <Self as $crate::Choice>::schema();
                let variant = $crate::variant_of(node, schema, decoder)?;
                let read: Option<Self> = 'read: {
                    $(
                        if variant == stringify!($Variant) {
                            break 'read $crate::__variant!(decode $Name $Variant node decoder $(, $content)?);
                        }
                    )*
                    None
                };
                let read = read?;
                match &read {
                    $( $crate::__variant!(pattern $Name $Variant content $(, $content)?) => {
                        const RULES: &[$crate::Rule] = &[$($($crate::__rule!($rule $($argument)?)),+)?];
                        $crate::__variant!(own content RULES node decoder $(, $content)?);
                    } )*
                }
                Some(read)
            }

            fn encode(&self) -> $crate::Node {
                match self {
                    $( $crate::__variant!(pattern $Name $Variant content $(, $content)?) =>
                        $crate::__variant!(encode $Name $Variant content $(, $content)?), )*
                }
            }

            fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn $crate::Movable)) {
                match self {
                    $( $crate::__variant!(pattern $Name $Variant content $(, $content)?) =>
                        $crate::__variant!(visit content visit $(, $content)?), )*
                }
            }

            fn check(
                &self,
                rules: &[$crate::Rule],
                node: &$crate::Node,
                decoder: &mut $crate::Decoder,
            ) {
                if rules.is_empty() {
                    return;
                }
                match self {
                    $( $crate::__variant!(pattern $Name $Variant content $(, $content)?) =>
                        $crate::__variant!(check content rules node decoder $(, $content)?), )*
                }
            }
        }
    };
}

/// Parts of [`choice!`] that differ between variants with and without content.
#[doc(hidden)]
#[macro_export]
macro_rules! __variant {
    (decode $Name:ident $Variant:ident $node:ident $decoder:ident) => {
        Some($Name::$Variant)
    };
    (decode $Name:ident $Variant:ident $node:ident $decoder:ident, $content:ty) => {
        $crate::decode_content::<$content>($node, stringify!($Variant), $decoder).map($Name::$Variant)
    };
    (pattern $Name:ident $Variant:ident $value:ident) => {
        $Name::$Variant
    };
    (pattern $Name:ident $Variant:ident $value:ident, $content:ty) => {
        $Name::$Variant($value)
    };
    (encode $Name:ident $Variant:ident $value:ident) => {
        $crate::Node::word(stringify!($Variant))
    };
    (encode $Name:ident $Variant:ident $value:ident, $content:ty) => {
        $crate::encode_content($value, stringify!($Variant), <$Name as $crate::Choice>::schema())
    };
    (visit $value:ident $visit:ident) => {{
        let _nothing_to_visit = &$visit;
    }};
    (visit $value:ident $visit:ident, $content:ty) => {
        $crate::Decode::visit_numbers($value, $visit)
    };
    (own $value:ident $rules:ident $node:ident $decoder:ident) => {{
        let _nothing_to_check = (&$node, &$decoder, $rules);
    }};
    (own $value:ident $rules:ident $node:ident $decoder:ident, $content:ty) => {
        $crate::check_content($value, $rules, $node, $decoder)
    };
    (check $value:ident $rules:ident $node:ident $decoder:ident) => {{
        let _nothing_to_check = (&$node, &$decoder);
    }};
    (check $value:ident $rules:ident $node:ident $decoder:ident, $content:ty) => {
        $crate::Decode::check($value, $rules, $node.unwrapped(), $decoder)
    };
}
