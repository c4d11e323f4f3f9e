//! Copyable row numbers, one type for each kind of thing, so that a part can never be taken for a station.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// The id as an index into the vector it numbers.
            pub const fn at(self) -> usize {
                self.0 as usize
            }

            /// The id of an index.
            pub fn of(index: usize) -> Self {
                Self(super::numbered(index))
            }
        }
    )*};
}

ids! {
    /// A working calendar.
    CalendarId,
    /// A paced line, in sheet order.
    LineId,
    /// A station or a shop: a place material is delivered to, numbered in code order.
    DestId,
    /// A feeder shop, in sheet order.
    ShopId,
    /// A part, numbered in code order.
    PartId,
    /// A floorplan, in sheet order.
    FloorplanId,
    /// An option, a floorplan, a series or a line as a name in an expression.
    NameId,
    /// An option group, in sheet order.
    GroupId,
    /// An engineering change, in sheet order.
    ChangeId,
    /// A row of the build sequence, in sheet order.
    UnitId,
    /// Who needs material, numbered by rank: the units on the line, then what extras name besides them.
    OwnerId,
}
