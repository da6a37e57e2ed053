//! What each part of the document is: the tree that screen readers follow.

use krilla::geom::Rect;
use krilla::tagging::{
    BBox, Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use std::num::{NonZeroU16, NonZeroU32};

/// A node of the tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct NodeId(usize);

/// What a part of the document is (ISO 32000-1, 14.8.4).
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Section,
    /// A heading of the given level, from 1.
    Heading(u16, String),
    Paragraph,
    List,
    ListItem,
    ListLabel,
    ListBody,
    /// A table, with what it shows.
    Table(String),
    TableHead,
    TableBody,
    Row,
    ColumnHead,
    RowHead,
    /// The only cell of its row, over all columns of a sheet.
    WideCell,
    Cell,
    /// A picture, with its description.
    Figure(String),
    Caption,
    Link,
    Contents,
    ContentsItem,
    /// Words within a paragraph.
    Words,
    Part,
}

#[derive(Debug, Clone, Copy)]
enum Child {
    Node(NodeId),
    Leaf(usize),
}

#[derive(Debug)]
struct Branch {
    kind: Kind,
    children: Vec<Child>,
    /// Page and place of a picture.
    bounds: Option<(usize, Rect)>,
}

/// The tree while the document is laid out.
#[derive(Debug, Default)]
pub(super) struct Tree {
    branches: Vec<Branch>,
    roots: Vec<NodeId>,
    leaves: Vec<Identifier>,
}

impl Tree {
    /// Adds a node at the end of its parent, or of the document.
    pub(super) fn add(&mut self, parent: Option<NodeId>, kind: Kind) -> NodeId {
        let node = NodeId(self.branches.len());
        self.branches.push(Branch {
            kind,
            children: Vec::new(),
            bounds: None,
        });
        match parent {
            Some(NodeId(parent)) => self.branches[parent].children.push(Child::Node(node)),
            None => self.roots.push(node),
        }
        node
    }

    /// Tells whether the node is a picture.
    pub(super) fn is_figure(&self, NodeId(node): NodeId) -> bool {
        matches!(self.branches[node].kind, Kind::Figure(_))
    }

    /// Adds drawn content to a node, after what it has.
    pub(super) fn fill(&mut self, NodeId(node): NodeId, content: Identifier) {
        let leaf = self.leaves.len();
        self.leaves.push(content);
        self.branches[node].children.push(Child::Leaf(leaf));
    }

    /// Adds a link's target, before what it has: readers want it first.
    pub(super) fn aim(&mut self, NodeId(node): NodeId, target: Identifier) {
        let leaf = self.leaves.len();
        self.leaves.push(target);
        self.branches[node].children.insert(0, Child::Leaf(leaf));
    }

    /// Notes where a picture stands.
    pub(super) fn bound(&mut self, NodeId(node): NodeId, page: usize, rect: Rect) {
        self.branches[node].bounds = Some((page, rect));
    }

    /// Returns the tree in the form that the PDF library writes.
    pub(super) fn finish(self) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some(super::LANGUAGE.to_string()));
        for root in &self.roots {
            tree.push(self.group(*root));
        }
        tree
    }

    fn group(&self, NodeId(node): NodeId) -> TagGroup {
        let branch = &self.branches[node];
        let mut group = TagGroup::new(tag(&branch.kind, branch.bounds));
        for child in &branch.children {
            match *child {
                Child::Node(node) => group.push(Node::Group(self.group(node))),
                Child::Leaf(leaf) => group.push(Node::Leaf(self.leaves[leaf])),
            }
        }
        group
    }
}

fn tag(kind: &Kind, bounds: Option<(usize, Rect)>) -> TagKind {
    match kind {
        Kind::Part => Tag::Part.into(),
        Kind::Section => Tag::Section.into(),
        Kind::Heading(level, title) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(title.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::None).into(),
        Kind::ListItem => Tag::LI.into(),
        Kind::ListLabel => Tag::Lbl.into(),
        Kind::ListBody => Tag::LBody.into(),
        Kind::Table(summary) => Tag::Table.with_summary(Some(summary.clone())).into(),
        Kind::TableHead => Tag::THead.into(),
        Kind::TableBody => Tag::TBody.into(),
        Kind::Row => Tag::TR.into(),
        Kind::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Kind::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Kind::WideCell => Tag::TD
            .with_col_span(NonZeroU32::new(super::sheets::COLUMNS))
            .into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Figure(description) => Tag::Figure(Some(description.clone()))
            .with_bbox(bounds.map(|(page, rect)| BBox::new(page, rect)))
            .into(),
        Kind::Caption => Tag::Caption.into(),
        Kind::Link => Tag::Link.into(),
        Kind::Contents => Tag::TOC.into(),
        Kind::ContentsItem => Tag::TOCI.into(),
        Kind::Words => Tag::Span.into(),
    }
}
